/* Building: one at a time, told by the server as it goes on; a reload or another tab shows the same. */
import { post, send } from "./api.js";
import { clone, megabytes, number, one, seconds, settled, tell, words } from "./dom.js";
import { offer, startPhone } from "./phone.js";
import { sparse } from "./state.js";
import { onView } from "./views.js";

const PROGRESS = "progress";
const ENDS = ["done", "failed", "cancelled"];
const start = one("#start");
const cancel = one("#cancel");
const progress = one("#progress");
const bar = one("progress", progress);
const mistake = one("#build-mistake");
const made = one("#made");
const say = settled(1500, (text) => tell(one("#build-told"), text));
let events = null;
let status = "idle";

const running = (is) => {
  start.disabled = is;
  cancel.hidden = !is;
  progress.hidden = !is;
};

const showProgress = ({ done, total, stage, ending }) => {
  running(true);
  made.hidden = true;
  cancel.disabled = ending;
  if (total) {
    bar.max = total;
    bar.value = done;
  } else bar.removeAttribute("value");
  tell(one("#stage"), words(ending ? "ending" : stage ? `stage-${stage}` : "starting"));
  tell(one("#done-of"), total ? words("done-of", { done: number(done), total: number(total) }) : "");
  say(`${one("#stage").textContent} ${one("#done-of").textContent}`);
};

const deckItem = (took) => (deck) => {
  const item = clone("deck");
  const name = encodeURIComponent(deck.deck);
  one(".deck-title", item).textContent = deck.title;
  one("[data-of=cards]", item).textContent = number(deck.cards);
  one("[data-of=size]", item).textContent = megabytes(deck.size);
  one("[data-of=seconds]", item).textContent = seconds(took);
  one(".save-deck", item).href = `/decks/${name}`;
  one(".look", item).href = "/preview/";
  one(".to-phone", item).addEventListener("click", (event) => offer(deck.deck, event.target));
  return item;
};

const showDone = ({ decks, seconds: took }) => {
  running(false);
  one("#decks").replaceChildren(...decks.map(deckItem(took)));
  made.hidden = false;
  say(one("#made-title").textContent);
};

const show = (build) => {
  const before = status;
  status = build.status;
  tell(mistake, "");
  if (status === PROGRESS) return showProgress(build);
  running(false);
  if (status === "done") {
    showDone(build);
    if (before === PROGRESS && !one("#build").hidden) made.focus({ preventScroll: true });
  }
  if (status === "failed") tell(mistake, build.error);
  if (status === "cancelled" && before === PROGRESS) tell(mistake, words("cancelled"));
  return null;
};

const follow = () => {
  if (events) return;
  events = new EventSource("/api/builds/events");
  for (const name of [PROGRESS, ...ENDS]) events.addEventListener(name, (event) => show(JSON.parse(event.data)));
};

/* A browser has few connections to one server: this one is held only where something is to be told. */
const leave = () => {
  if (status === PROGRESS) return;
  events?.close();
  events = null;
};

/** Begin a build through a request, and follow it; the page shows at once that it is at work. */
export const begin = async (ask) => {
  tell(mistake, "");
  status = PROGRESS;
  showProgress({ done: 0, total: 0, stage: "", ending: false });
  try {
    await ask();
  } catch (refusal) {
    status = "failed";
    if (refusal.status !== 409) running(false);
    tell(mistake, refusal.message);
  }
  events?.close();
  events = null;
  if (status === PROGRESS) follow();
};

export const startBuild = async () => {
  start.addEventListener("click", () => begin(() => post("/api/builds", { recipe: sparse() })));
  cancel.addEventListener("click", () => {
    cancel.disabled = true;
    post("/api/builds/cancel", {}).catch(() => {});
  });
  onView((view) => (view === "build" ? follow() : leave()));
  startPhone();
  try {
    show(await send("/api/builds/current"));
  } catch {
    /* Told by the page's own line that the desk does not answer. */
  }
  if (status === PROGRESS || !one("#build").hidden) follow();
};
