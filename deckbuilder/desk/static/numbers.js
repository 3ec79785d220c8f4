/* The numbers beside the choices: cards, size, and the days that studying takes. */
import { count } from "./api.js";
import { all, listed, megabytes, number, one, paced, percent, settled, tell, words } from "./dom.js";
import { tellMistakes } from "./fields.js";
import { keep, onChange, sparse, state } from "./state.js";

const panel = one(".numbers");
const put = (name, text) => all(`[data-number="${name}"]`).forEach((place) => tell(place, text));
const say = settled(700, (text) => tell(one("#numbers-told"), text));
const seen = {};
const LEVELS = all('[data-list="levels"]').map((box) => Number(box.value));

const tellNumbers = () => say(words("numbers", seen));

const plan = async () => {
  const answer = await count("/api/plan", { recipe: sparse(), minutes: state.minutes, known: state.known / 100 });
  if (!answer) return;
  seen.days = answer.days === null ? words("more-days", { days: number(answer.within) }) : number(answer.days);
  put("days", seen.days);
  const levels = answer.levels.map(({ level, title, day }) => words(LEVELS.includes(level) ? "level-day" : "tune-day", { level, title, day: number(day) }));
  put("plan", words("plan", { levels: listed(levels), reviews: number(Math.round(answer.reviews_a_day)) }));
  tellNumbers();
};

const busy = (is) => panel.setAttribute("aria-busy", is);

/** Counts changes: an answer to an earlier one does not say that all is told. */
let newest = 0;

const ask = async () => {
  const mine = (newest += 1);
  busy(true);
  const mistake = one("#recipe-mistake");
  try {
    const answer = await count("/api/summary", { recipe: sparse() });
    if (!answer) return;
    seen.cards = number(answer.cards);
    seen.size = megabytes(answer.size);
    put("title", answer.title);
    put("cards", seen.cards);
    put("notes", number(answer.notes));
    put("size", seen.size);
    tellMistakes([]);
    tell(mistake, "");
    await plan();
  } catch (refusal) {
    const left = tellMistakes(refusal.mistakes);
    const inChanges = left.some(({ where }) => where?.[0] === "changes");
    const told = refusal.mistakes.length ? left.map(({ error }) => error).join(" ") : refusal.message;
    tell(mistake, inChanges ? words("needs-mending") : told);
  }
  if (mine === newest) busy(false);
};

export const startNumbers = () => {
  const soon = paced(60, ask);
  onChange(() => {
    newest += 1;
    busy(true);
    soon();
  });
  for (const [id, format] of [["minutes", number], ["known", (value) => percent(value / 100)]]) {
    const slider = one(`#${id}`);
    const shown = one(`#${id}-shown`);
    slider.value = state[id];
    shown.textContent = format(state[id]);
    const again = paced(60, () => plan().catch(() => {}));
    slider.addEventListener("input", () => {
      state[id] = Number(slider.value);
      shown.textContent = format(state[id]);
      keep();
      again();
    });
  }
  ask();
};
