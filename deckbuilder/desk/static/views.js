/* The page's parts, one of them shown at a time; the address names it, so that back and reload keep it. */
import { all, one } from "./dom.js";

const WITHOUT_NUMBERS = ["work"];
const listeners = [];

/** Have a function called when a part is shown. */
export const onView = (listener) => listeners.push(listener);

const show = (name, move) => {
  for (const view of all(".view")) view.hidden = view.id !== name;
  for (const link of all(".views a")) {
    if (link.hash === `#${name}`) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  one(".columns").classList.toggle("single", WITHOUT_NUMBERS.includes(name));
  document.body.classList.toggle("without-bar", name === "build" || WITHOUT_NUMBERS.includes(name));
  for (const listener of listeners) listener(name);
  if (!move) return;
  scrollTo(0, 0);
  one(`#${name}-title`).focus({ preventScroll: true });
};

const named = () => one(".views a[aria-current]").hash.slice(1);
const wanted = () => all(".view").find((view) => `#${view.id}` === location.hash)?.id;

export const startViews = () => {
  window.addEventListener("hashchange", () => {
    const view = wanted();
    if (view) show(view, true);
  });
  for (const link of all('a[href^="#"]')) {
    link.addEventListener("click", () => {
      const target = one(link.hash);
      if (!target.classList.contains("view")) target.focus({ preventScroll: true });
      else if (link.hash === location.hash) show(target.id, true);
    });
  }
  show(wanted() ?? named(), false);
};
