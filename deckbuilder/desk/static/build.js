/* Building: one at a time, told by the server as it goes on; a reload or another tab shows the same. */
import { post, send } from "./api.js";
import { megabytes, number, one, seconds, settled, tell, words } from "./dom.js";
import { startPhone } from "./phone.js";
import { sparse } from "./state.js";

const start = one("#start");
const cancel = one("#cancel");
const progress = one("#progress");
const bar = one("progress", progress);
const mistake = one("#build-mistake");
const say = settled(1500, (text) => tell(one("#build-told"), text));
let events = null;

const running = (is) => {
  start.disabled = is;
  cancel.hidden = !is;
  progress.hidden = !is;
};

const showProgress = ({ done, total, stage }) => {
  running(true);
  if (total) {
    bar.max = total;
    bar.value = done;
  } else bar.removeAttribute("value");
  tell(one("#stage"), stage || words("starting"));
  tell(one("#done-of"), total ? words("done-of", { done: number(done), total: number(total) }) : "");
  say(`${one("#stage").textContent} ${one("#done-of").textContent}`);
};

const showDone = (built) => {
  running(false);
  tell(mistake, "");
  one("#made").hidden = false;
  one("#made").dataset.deck = built.deck;
  tell(one("#made-name"), built.title ?? built.deck);
  tell(one("#made-cards"), number(built.cards));
  tell(one("#made-size"), megabytes(built.size));
  tell(one("#made-seconds"), seconds(built.seconds));
  one("#save-deck").href = `/decks/${encodeURIComponent(built.deck)}`;
  say(one("#made-title").textContent);
};

const show = (build) => {
  if (build.state === "running") showProgress(build);
  else if (build.state === "done") showDone(build);
  else {
    running(false);
    tell(mistake, build.state === "failed" ? build.error : build.state === "cancelled" ? words("cancelled") : "");
  }
};

const follow = () => {
  if (events) return;
  events = new EventSource("/api/builds/events");
  const over = (build) => {
    events.close();
    events = null;
    show(build);
    if (build.state === "done") one("#made").focus({ preventScroll: true });
  };
  events.addEventListener("progress", (event) => show({ state: "running", ...JSON.parse(event.data) }));
  for (const name of ["done", "failed", "cancelled"]) {
    events.addEventListener(name, (event) => over({ state: name, ...JSON.parse(event.data) }));
  }
};

/** Begin a build through a request, and follow it; the page shows at once that it is at work. */
export const begin = async (ask) => {
  tell(mistake, "");
  one("#made").hidden = true;
  showProgress({ done: 0, total: 0, stage: "" });
  try {
    await ask();
    follow();
  } catch (refusal) {
    if (refusal.status === 409) follow();
    else running(false);
    tell(mistake, refusal.message);
  }
};

export const startBuild = async () => {
  start.addEventListener("click", () => begin(() => post("/api/builds", { recipe: sparse() })));
  cancel.addEventListener("click", () => {
    cancel.disabled = true;
    post("/api/builds/cancel", {}).catch(() => {}).finally(() => (cancel.disabled = false));
  });
  startPhone(() => one("#made").dataset.deck);
  try {
    const current = await send("/api/builds/current");
    show(current);
    if (current.state === "running") follow();
  } catch {
    /* Told by the page's own line that the desk does not answer. */
  }
};
