/* What was just done, with a way back. */
import { one, tell, words } from "./dom.js";

const line = one("#told");
const undo = one("#undo");
let back = null;
let timer;

const clear = () => {
  tell(line, "");
  undo.hidden = true;
  back = null;
};

/** Tell what was done; `restore` brings it back. It stays as long as there is something to bring back, or a moment. */
export const notice = (text, restore = null) => {
  clearTimeout(timer);
  tell(line, text);
  back = restore;
  undo.hidden = !restore;
  timer = setTimeout(clear, restore ? 20000 : 4000);
};

export const startNotice = () => {
  undo.addEventListener("click", () => {
    back?.();
    notice(words("back"));
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && line.textContent) clear();
  });
};
