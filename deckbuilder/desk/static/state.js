/* What is chosen: the recipe and a few things beside it. Kept in this tab, and as what a new tab begins with. */
import { data } from "./dom.js";

const KEPT = "desk";
export const defaults = data("default-recipe");
export const copy = (value) => JSON.parse(JSON.stringify(value));
const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);

const kept = () => {
  for (const place of ["sessionStorage", "localStorage"]) {
    try {
      const found = JSON.parse(window[place].getItem(KEPT));
      if (found?.recipe) return found;
    } catch {
      /* A browser may keep nothing; then the page begins anew. */
    }
  }
  return {};
};

/** A recipe with every table and field, the defaults where it has none. */
const filled = (recipe) => {
  const full = copy({ ...defaults, ...recipe });
  for (const [name, value] of Object.entries(defaults)) {
    if (value && typeof value === "object" && !Array.isArray(value)) full[name] = { ...copy(value), ...recipe[name] };
  }
  if (recipe.instrument?.tuning && !recipe.instrument.frets) delete full.instrument.frets;
  if (recipe.instrument?.regions && !recipe.regions) delete full.regions;
  return full;
};

/** How the page speaks; its defaults have these names of notes. */
export const spoken = document.documentElement.dataset;
/** What a recipe speaks that does not say it. */
const PLAIN = "english";
export const speaksHere = ({ language = PLAIN, names = PLAIN }) => language === spoken.language && names === spoken.names;
/* A recipe that speaks otherwise is filled when the page speaks as it does. */
const filledHere = (recipe) => (speaksHere(recipe) ? filled(recipe) : recipe);

const before = kept();
export const state = {
  recipe: before.recipe ? filledHere(before.recipe) : filled({}),
  minutes: before.minutes ?? 15,
  known: before.known ?? 50,
  card: before.card ?? { number: 0, kind: "" },
  neckKey: before.neckKey ?? "",
};

/** The recipe as it travels: only what differs from the default. */
export const sparse = (recipe = state.recipe) => {
  const kept = {};
  for (const [name, value] of Object.entries(recipe)) {
    const standard = defaults[name];
    if (same(value, standard)) continue;
    if (value && typeof value === "object" && !Array.isArray(value)) {
      const inner = Object.fromEntries(Object.entries(value).filter(([key, held]) => !same(held, standard?.[key])));
      if (Object.keys(inner).length) kept[name] = inner;
    } else kept[name] = value;
  }
  if (allRegions(recipe)) delete kept.regions;
  // The page speaks as its recipe does, so that its defaults are no guide here.
  kept.language = recipe.language;
  kept.names = recipe.names;
  if (kept.changes && !kept.changes.length) delete kept.changes;
  return kept;
};

export const regionsOf = (recipe) => Array.from({ length: recipe.instrument.regions }, (_, number) => number + 1);
const allRegions = (recipe) => !recipe.regions || same(recipe.regions, regionsOf(recipe));

const listeners = [];
/** Have a function called after each change of the recipe, with whether all of it was replaced. */
export const onChange = (listener) => listeners.push(listener);

export const keep = () => {
  for (const place of ["sessionStorage", "localStorage"]) {
    try {
      window[place].setItem(KEPT, JSON.stringify(state));
    } catch {
      /* Nothing is kept; the page works without. */
    }
  }
};

/** Load the page anew where it speaks otherwise than its recipe; returns whether it does. */
export const followSpeech = () => {
  if (speaksHere(state.recipe)) return false;
  const { language = PLAIN, names = PLAIN } = state.recipe;
  // A title that nobody chose is said in the other language.
  if (state.recipe.title === defaults.title) delete state.recipe.title;
  keep();
  location.replace(`/?${new URLSearchParams({ language, names })}${location.hash}`);
  return true;
};

export const changed = (replaced = false) => {
  keep();
  if (followSpeech()) return;
  for (const listener of listeners) listener(replaced);
};

/** Put another recipe in the place of this one; the earlier one is returned. */
export const replaceRecipe = (recipe) => {
  const former = state.recipe;
  state.recipe = filledHere(recipe);
  changed(true);
  return former;
};

export const valueAt = (path) => path.split(".").reduce((table, key) => table?.[key], state.recipe);
export const setAt = (path, value) => {
  const keys = path.split(".");
  const last = keys.pop();
  const table = keys.reduce((inner, key) => (inner[key] ??= {}), state.recipe);
  if (value === null) delete table[last];
  else table[last] = value;
};
