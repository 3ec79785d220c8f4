/* One card of the deck, as an app shows it: in a shadow of its own, so that the page's style and the card's stay apart. */
import { count } from "./api.js";
import { all, number, one, paced, tell, words } from "./dom.js";
import { play, stop } from "./sound.js";
import { keep, onChange, sparse, state } from "./state.js";

const host = one("#card");
const turn = one("#turn");
const shadow = host.attachShadow({ mode: "open" });
const holder = document.createElement("div");
const labels = Object.fromEntries(all("#sample-kind option").map((option) => [option.value, option.text]));
/** Milliseconds that pictures are waited for. */
const LONGEST = 400;
let styled = "";
let shown = null;
let turned = false;

const sheet = (address) =>
  new Promise((come) => {
    const link = document.createElement("link");
    link.rel = "stylesheet";
    link.onload = link.onerror = come;
    link.href = address;
    shadow.append(link);
  });

/** Give the shadow its style sheets, once: links, since browsers of 2022 know no sheets that a script makes. */
const style = async (address) => {
  if (styled === address) return;
  styled = address;
  shadow.replaceChildren(holder);
  await Promise.all([address, "/static/frame.css"].map(sheet));
};

const side = (html) => {
  const card = document.createElement("div");
  card.className = "card";
  card.innerHTML = html;
  return card;
};

/** Pictures are waited for, so that a card is shown whole, but not for long. */
const drawn = (card) => {
  const pictures = [...card.querySelectorAll("img")].map((image) => image.decode().catch(() => {}));
  return Promise.race([Promise.all(pictures), new Promise((late) => setTimeout(late, LONGEST))]);
};

const show = async () => {
  const card = turned ? shown.backSide : shown.frontSide;
  await drawn(card);
  if (card !== (turned ? shown.backSide : shown.frontSide)) return;
  stop(host);
  holder.replaceChildren(card);
  host.scrollTop = 0;
  turn.textContent = turned ? turn.dataset.back : turn.dataset.front;
};

const ask = async (another = false) => {
  host.setAttribute("aria-busy", "true");
  try {
    const { number: wanted, kind } = state.card;
    const same = shown && !another ? { name: shown.name } : {};
    const answer = await count("/api/sample", { recipe: sparse(), number: wanted, ...same, ...(kind ? { kind } : {}) });
    if (!answer) return;
    await style(answer.style);
    turned &&= answer.name === same.name;
    shown = { ...answer, frontSide: side(answer.front), backSide: side(answer.back) };
    state.card.number = answer.number;
    keep();
    tell(one("#sample-name"), words("card-of", { number: number(answer.number + 1), of: number(answer.of), name: labels[answer.kind] ?? answer.kind }));
    tell(one("#sample-mistake"), "");
    await show();
  } catch (refusal) {
    tell(one("#sample-mistake"), refusal.mistakes.length ? "" : refusal.message);
  }
  host.setAttribute("aria-busy", "false");
};

export const startSample = () => {
  onChange(paced(60, () => ask()));
  const kind = one("#sample-kind");
  kind.value = state.card.kind;
  kind.addEventListener("change", () => {
    state.card = { number: 0, kind: kind.value };
    ask(true);
  });
  turn.addEventListener("click", () => {
    if (!shown) return;
    turned = !turned;
    show();
  });
  one("#shuffle").addEventListener("click", () => {
    if (!shown) return;
    const step = 1 + Math.floor(Math.random() * Math.max(1, shown.of - 1));
    state.card.number = (shown.number + step) % shown.of;
    ask(true);
  });
  shadow.addEventListener("click", (event) => {
    const button = event.target.closest(".replay");
    if (button) play(button.dataset.clip, host);
  });
  ask();
};
