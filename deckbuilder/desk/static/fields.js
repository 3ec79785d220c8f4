/* Fields of the recipe: `data-path` holds one value, `data-list` belongs to a list. And mistakes, told at their field. */
import { all, one, tell } from "./dom.js";
import { changed, defaults, onChange, setAt, state, valueAt } from "./state.js";

const typed = (field) => (field.dataset.type === "number" ? Number(field.value) : field.value);

const read = (field) => {
  if (field.type === "checkbox") return field.checked;
  if (field.value === "") return null;
  return typed(field);
};

const show = (field) => {
  const { path, list } = field.dataset;
  if (list) field.checked = (state.recipe[list] ?? []).includes(typed(field));
  else if (field.type === "radio") field.checked = String(valueAt(path)) === field.value;
  else if (field.type === "checkbox") field.checked = Boolean(valueAt(path));
  else field.value = valueAt(path) ?? "";
  const shown = field.type === "range" && field.parentElement.querySelector("b");
  if (shown) shown.textContent = field.value;
};

/** A list's values: those chosen in the order of the page, behind what only a file can hold. */
const listOf = (name) => {
  const boxes = all(`[data-list="${name}"]`);
  const values = boxes.map(typed);
  const others = (state.recipe[name] ?? []).filter((value) => !values.includes(value));
  return [...boxes.filter((box) => box.checked).map(typed), ...others];
};

const write = (field) => {
  const { path, list } = field.dataset;
  if (list) state.recipe[list] = listOf(list);
  else setAt(path, read(field));
  if (path === "instrument.regions") delete state.recipe.regions;
  show(field);
  changed();
};

const FIELDS = "[data-path], [data-list]";

const keysOf = ({ where }) => (where ?? []).filter((key) => typeof key === "string").join(".");
const within = (keys, outer) => keys === outer || keys.startsWith(`${outer}.`);

/** Show mistakes at their fields; those that are about no field of the page are returned. */
export const tellMistakes = (mistakes) => {
  const left = new Set(mistakes);
  for (const line of all("[data-where]")) {
    const mine = mistakes.filter((mistake) => left.has(mistake) && within(keysOf(mistake), line.dataset.where));
    mine.forEach((mistake) => left.delete(mistake));
    tell(line, mine.map(({ error }) => error).join(" "));
    for (const field of all(`[aria-describedby~="${line.id}"]`)) {
      const { path } = field.dataset;
      const wrong = mine.some((mistake) => !path || within(keysOf(mistake), path));
      const told = field.getAttribute("aria-describedby").split(" ").some((id) => id !== line.id && document.getElementById(id)?.matches(".mistake:not(:empty)"));
      if (wrong || told) field.setAttribute("aria-invalid", "true");
      else field.removeAttribute("aria-invalid");
    }
  }
  return [...left];
};

export const startFields = () => {
  for (const field of all(FIELDS)) {
    show(field);
    field.addEventListener(field.type === "range" || field.type === "text" ? "input" : "change", () => write(field));
  }
  onChange((replaced) => {
    if (replaced) all(FIELDS).forEach(show);
  });
  const alone = one("#only-changes");
  const showAlone = () => (alone.checked = !state.recipe.levels?.length);
  alone.addEventListener("change", () => {
    state.recipe.levels = alone.checked ? [] : [...defaults.levels];
    all('[data-list="levels"]').forEach(show);
    changed();
  });
  onChange(showAlone);
  showAlone();
};
