/* Short hands for the page: finding, cloning, and words, which the page brings along. */

export const one = (selector, root = document) => root.querySelector(selector);
export const all = (selector, root = document) => [...root.querySelectorAll(selector)];
export const clone = (id) => document.getElementById(id).content.firstElementChild.cloneNode(true);
export const data = (id) => JSON.parse(document.getElementById(id).content.textContent);

const language = document.documentElement.lang;

/** The words of a name, with what belongs into their brackets. */
export const words = (name, values = {}) =>
  one(`template[data-word="${name}"]`).content.textContent.replace(/\[(\w+)\]/g, (_, key) => values[key] ?? "");

const whole = new Intl.NumberFormat(language);
const units = {};
const inUnit = (unit, digits = 0) =>
  (units[unit + digits] ??= new Intl.NumberFormat(language, { style: "unit", unit, maximumFractionDigits: digits }));

export const number = (value) => whole.format(value);
export const listed = (texts) => new Intl.ListFormat(language, { style: "short", type: "unit" }).format(texts);
export const seconds = (value) => inUnit("second").format(Math.max(1, Math.round(value)));
export const percent = (value) => new Intl.NumberFormat(language, { style: "percent" }).format(value);
export const megabytes = (bytes) => {
  const value = bytes / 1e6;
  return value < 1 ? inUnit("kilobyte").format(Math.ceil(bytes / 1e3)) : inUnit("megabyte", value < 10 ? 1 : 0).format(value);
};

/** Put a text where it is not yet, so that nothing is read out twice. */
export const tell = (element, text) => {
  if (element.textContent !== text) element.textContent = text;
};

/** Run a function when nothing has called for it for some milliseconds. */
export const settled = (wait, run) => {
  let timer;
  return (...values) => {
    clearTimeout(timer);
    timer = setTimeout(() => run(...values), wait);
  };
};

/** Run a function at once, but not again before some milliseconds have passed; the last call counts. */
export const paced = (wait, run) => {
  let timer = null;
  let again = false;
  const go = () => {
    again = false;
    timer = setTimeout(() => {
      timer = null;
      if (again) go();
    }, wait);
    run();
  };
  return () => {
    if (timer === null) go();
    else again = true;
  };
};
