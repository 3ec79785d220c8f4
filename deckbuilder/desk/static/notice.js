/* What was just done, with a way back. */
import { one, tell, words } from "./dom.js";
import { replaceRecipe } from "./state.js";

const line = one("#told");
const undo = one("#undo");
let back = null;
let timer;

/** Where it is kept that a recipe was replaced: the page may be loaded anew, since another recipe may speak otherwise. */
const KEPT = "desk-replaced";
const kept = (replaced) => {
  try {
    if (replaced === undefined) return JSON.parse(sessionStorage.getItem(KEPT));
    if (replaced) sessionStorage.setItem(KEPT, JSON.stringify(replaced));
    else sessionStorage.removeItem(KEPT);
  } catch {
    /* Nothing is kept; then there is no way back from a page that is loaded anew. */
  }
  return null;
};

const say = (text) => {
  tell(line, text);
  line.parentElement.classList.toggle("silent", !text);
};

const clear = () => {
  kept(null);
  say("");
  undo.hidden = true;
  back = null;
};

/** Tell what was done; `restore` brings it back. It stays as long as there is something to bring back, or a moment. */
export const notice = (text, restore = null) => {
  clearTimeout(timer);
  say(text);
  back = restore;
  undo.hidden = !restore;
  timer = setTimeout(clear, restore ? 20000 : 4000);
};

/** Put another recipe in the place of this one and tell it by a word; the way back outlasts a reload. */
export const replace = (recipe, word, values = {}) => {
  const former = replaceRecipe(recipe);
  kept({ former, word, values });
  tellReplaced();
};

const tellReplaced = () => {
  const replaced = kept();
  if (replaced) notice(words(replaced.word, replaced.values), () => replaceRecipe(replaced.former));
};

export const startNotice = () => {
  undo.addEventListener("click", () => {
    const restore = back;
    clear();
    restore?.();
    notice(words("back"));
  });
  tellReplaced();
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && line.textContent) clear();
  });
};
