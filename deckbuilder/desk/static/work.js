/* What needs work: an export of the study history, its report, and what is made of it. */
import { post, send } from "./api.js";
import { begin } from "./build.js";
import { number, one, tell, words } from "./dom.js";
import { dropped } from "./drop.js";
import { sparse } from "./state.js";

const KEPT = "history";
const mistake = one("#history-mistake");
let found = null;

const weakItem = ({ name, line }) => {
  const item = document.createElement("li");
  const small = document.createElement("small");
  item.append(name, small);
  small.textContent = line;
  return item;
};

const show = (history) => {
  found = history;
  tell(one("#verdict"), history.title);
  tell(one("#found-days"), number(history.days));
  tell(one("#found-answers"), number(history.answers));
  tell(one("#found-weak"), number(history.weak.length));
  one("#weak-list").replaceChildren(...history.weak.map(weakItem));
  one("#work-on").hidden = !history.weak.length;
  const many = one("#how-many");
  many.max = Math.max(1, history.weak.length);
  many.value = Math.min(4, history.weak.length);
  one("#how-many-shown").value = many.value;
  one("#search").value = history.search ?? "";
  one("#sheet").href = `/histories/${history.id}/sheet.pdf`;
  one("#report").src = one("#report-open").href = `/histories/${history.id}/report.html`;
  one("#found").hidden = false;
};

const read = async (file) => {
  one("#history-drop").classList.add("reading");
  one("#found").hidden = true;
  tell(mistake, "");
  try {
    const history = await send("/api/histories", { method: "PUT", body: file, kind: "history" });
    if (!history) return;
    show(history);
    sessionStorage.setItem(KEPT, JSON.stringify(history));
    one("#found").focus({ preventScroll: true });
  } catch (refusal) {
    tell(mistake, refusal.message);
  }
  one("#history-drop").classList.remove("reading");
};

export const startWork = () => {
  dropped(one("#history-drop"), read);
  one("#how-many").addEventListener("input", (event) => (one("#how-many-shown").value = event.target.value));
  one("#copy").addEventListener("click", async () => {
    const search = one("#search");
    search.select();
    await navigator.clipboard.writeText(search.value).catch(() => document.execCommand("copy"));
    tell(one("#copied"), words("copied"));
  });
  one("#focus").addEventListener("click", () => {
    location.hash = "#build";
    begin(() => post(`/api/histories/${found.id}/focus`, { number: Number(one("#how-many").value), recipe: sparse() }));
  });
  const kept = sessionStorage.getItem(KEPT);
  if (kept) show(JSON.parse(kept));
};
