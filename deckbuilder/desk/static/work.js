/* What needs work: an export of the study history, its report, and what is made of it. */
import { post, send } from "./api.js";
import { begin } from "./build.js";
import { number, one, tell, words } from "./dom.js";
import { dropped } from "./drop.js";
import { sparse } from "./state.js";

const KEPT = "history";
const mistake = one("#history-mistake");
let found = null;

const weakItem = ({ name, line, search }) => {
  const item = document.createElement("li");
  const small = document.createElement("small");
  item.append(name, small);
  small.textContent = line;
  if (search) {
    const code = document.createElement("code");
    code.textContent = search;
    item.append(code);
  }
  return item;
};

const listOf = (id, rows) => {
  one(`#${id}`).replaceChildren(...rows.map(weakItem));
  one(`#${id}`).closest(".common").hidden = !rows.length;
};

const showMany = () => {
  const many = one("#how-many").value;
  tell(one("#how-many-shown"), many);
  one("#sheet").href = `${found.sheet}?number=${many}`;
  const { what = "", search = "" } = found.works[many - 1] ?? {};
  tell(one("#why"), what);
  one("#search").value = search;
};

const show = (history) => {
  found = history;
  tell(one("#verdict"), history.verdict);
  one("#verdict").hidden = history.weak.length > 0;
  tell(one("#found-days"), number(history.days));
  tell(one("#found-answers"), number(history.answers));
  tell(one("#found-weak"), number(history.weak_count));
  listOf("weak-list", history.weak);
  listOf("patterns", history.patterns);
  one("#work-on").hidden = !history.works.length;
  const many = one("#how-many");
  many.max = Math.max(1, history.works.length);
  many.value = Math.min(4, history.works.length);
  showMany();
  one("#report-waiting").hidden = false;
  one("#report").src = one("#report-open").href = history.report;
  const tunings = one("#found-tuning");
  tunings.replaceChildren(...history.tunings.map(({ name, id }) => new Option(name, id, false, id === history.id)));
  tunings.closest("label").hidden = history.tunings.length < 2;
  one("#found").hidden = false;
  sessionStorage.setItem(KEPT, history.id);
};

const open = async (ask) => {
  one("#history-drop").classList.add("reading");
  tell(mistake, "");
  try {
    const history = await ask();
    if (history) show(history);
    return Boolean(history);
  } catch (refusal) {
    one("#found").hidden = true;
    sessionStorage.removeItem(KEPT);
    tell(mistake, refusal.message);
    return false;
  } finally {
    one("#history-drop").classList.remove("reading");
  }
};

const read = async (file) => {
  const { language, names } = document.documentElement.dataset;
  const query = new URLSearchParams({ name: file.name, language, names });
  if (await open(() => send(`/api/histories?${query}`, { method: "PUT", body: file }))) {
    one("#found").focus({ preventScroll: true });
  }
};

const again = (id) => open(() => send(`/api/histories/${encodeURIComponent(id)}`));

export const startWork = () => {
  dropped(one("#history-drop"), read);
  one("#report").addEventListener("load", () => (one("#report-waiting").hidden = true));
  one("#how-many").addEventListener("input", showMany);
  one("#found-tuning").addEventListener("change", (event) => again(event.target.value));
  one("#copy").addEventListener("click", async () => {
    const search = one("#search");
    search.select();
    try {
      await navigator.clipboard.writeText(search.value);
    } catch {
      document.execCommand("copy"); // where the clipboard is refused, or none is known on this address
    }
    tell(one("#copied"), words("copied"));
  });
  one("#focus").addEventListener("click", () => {
    location.hash = "#build";
    const base = one("#from-here").checked ? { recipe: sparse() } : {};
    begin(() => post(`/api/histories/${found.id}/focus`, { number: Number(one("#how-many").value), ...base }));
  });
  const kept = sessionStorage.getItem(KEPT);
  if (kept) again(kept);
};
