/* The neck with its regions, drawn to scale: frets get narrower as strings get shorter. */
import { post } from "./api.js";
import { all, clone, one, paced, tell } from "./dom.js";
import { changed, onChange, regionsOf, state } from "./state.js";

const NS = "http://www.w3.org/2000/svg";
/** Per cent of the width before the nut, where open strings are plucked. */
const NUT = 5;
const INLAYS = [3, 5, 7, 9, 12, 15, 17, 19, 21, 24];
/** Per cent of the width that a fret's number needs. */
const NARROWEST = 4;
/** em of the board, which has the page's type size: of a string, and of the inlays and numbers below all. (WebKit knows no
   rem where a line or a text begins.) */
const ROW = 1.35;
const UNDER = 2;
/** em of the rail's thickness above chosen frets, of the gap below it, and of an inlay's side. */
const RAIL = 0.16;
const GAP = 0.08;
const INLAY = 0.32;
/** em of a number's letters; its own place is counted in them. */
const LETTERS = 0.875;

const board = one(".board");
const rows = one(".rows");
const neck = one(".neck");
let shown = null;
/** From frets to per cent of the width, as the board was drawn. */
let scaled = null;

const draw = (name, attributes, text = "") => {
  const element = document.createElementNS(NS, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.textContent = text;
  board.append(element);
  return element;
};

/** Return from frets to per cent of the drawn width, mirrored for the left hand. */
const scale = (last, left) => {
  const end = 1 - 2 ** (-last / 12);
  return (fret) => {
    const right = NUT + ((1 - 2 ** (-Math.max(fret, 0) / 12)) / end) * (100 - NUT);
    return left ? 100 - right : right;
  };
};

const box = (x, from, to) => {
  const [one, other] = [from < 0 ? x(0) + (x(1) > x(0) ? -NUT : NUT) : x(from), x(to)].sort((a, b) => a - b);
  return { left: one, width: other - one };
};

/** The frets a hand holds as the width that it covers: from the wire behind its first finger. */
const handBox = (x, region) => box(x, region.low - 1, region.high);

const drawBoard = (answer) => {
  const left = state.recipe.instrument.hand === "left";
  const last = Math.min(answer.frets, Math.max(15, ...answer.regions.map((region) => region.high + 1)));
  const x = scale(last, left);
  const height = answer.strings.length * ROW;
  board.replaceChildren();
  board.style.height = `${height + UNDER}rem`;
  const wood = box(x, 0, last);
  draw("rect", { class: "wood", x: `${wood.left}%`, y: 0, width: `${wood.width}%`, height: `${height}em` });
  const chosen = state.recipe.regions ?? regionsOf(state.recipe);
  for (const region of answer.regions.filter(({ number }) => chosen.includes(number))) {
    const held = box(x, Math.max(0, region.low - 1), region.high);
    draw("rect", { class: "chosen", x: `${held.left}%`, y: 0, width: `${held.width}%`, height: `${height}em` });
    draw("rect", { class: "rail", x: `${held.left}%`, y: `${-RAIL - GAP}em`, width: `${held.width}%`, height: `${RAIL}em` });
  }
  for (const fret of INLAYS.filter((fret) => fret <= last)) {
    const middle = (x(fret - 1) + x(fret)) / 2;
    for (const aside of fret % 12 === 0 ? [-0.3, 0.3] : [0]) {
      draw("rect", { class: "inlay", x: `calc(${middle}% + ${aside - INLAY / 2}em)`, y: `${height + 0.2}em`, width: `${INLAY}em`, height: `${INLAY}em` });
    }
    if (Math.abs(x(fret) - x(fret - 1)) > NARROWEST) draw("text", { class: "number", x: `${middle}%`, y: `${(height + 1.55) / LETTERS}em` }, fret);
  }
  for (let fret = 0; fret <= last; fret += 1) {
    draw("line", { class: fret ? "fret" : "nut", x1: `${x(fret)}%`, x2: `${x(fret)}%`, y1: 0, y2: `${height}em` });
  }
  const row = (number) => `${(answer.turned_over ? number + 0.5 : answer.strings.length - number - 0.5) * ROW}em`;
  answer.strings.forEach((string, number) => {
    const y = row(number);
    const thick = 3 - (2 * number) / Math.max(1, answer.strings.length - 1);
    draw("line", { class: "string", x1: "0%", x2: "100%", y1: y, y2: y, "stroke-width": thick.toFixed(2) });
  });
  for (const { string, fret } of answer.tonics) {
    if (fret > last) continue;
    const at = fret ? (x(fret - 1) + x(fret)) / 2 : (x(0) + x(0) + (left ? NUT : -NUT)) / 2;
    const y = row(string);
    draw("circle", { class: "tonic", cx: `${at}%`, cy: y, r: "0.32em" });
  }
  if (answer.capo) {
    const at = `${(x(answer.capo - 1) + 3 * x(answer.capo)) / 4}%`;
    draw("line", { class: "capo", x1: at, x2: at, y1: "0.3em", y2: `${height - 0.3}em` });
  }
  one(".strings").replaceChildren(
    ...(answer.turned_over ? answer.strings : [...answer.strings].reverse()).map((string) => {
      const label = document.createElement("span");
      label.textContent = string.label;
      return label;
    }),
  );
  neck.classList.toggle("left", left);
  return x;
};

/** Mark on the neck the region that is looked at in the rows. */
const look = (number) => {
  one(".looked", board)?.remove();
  const region = shown.regions.find((other) => other.number === number);
  if (!region) return;
  const hand = handBox(scaled, region);
  const height = shown.strings.length * ROW;
  draw("rect", { class: "looked", x: `${hand.left}%`, y: 1, width: `${hand.width}%`, height: `calc(${height}em - 2px)`, rx: 6 });
};

const take = (number, in_) => {
  const chosen = state.recipe.regions ?? regionsOf(state.recipe);
  const others = chosen.filter((other) => other !== number);
  state.recipe.regions = in_ ? [...others, number].sort((one, other) => one - other) : others;
  show();
  changed();
};

const show = () => {
  const x = (scaled = drawBoard(shown));
  const chosen = state.recipe.regions ?? regionsOf(state.recipe);
  const numbers = shown.regions.map(({ number }) => number).join();
  if (rows.dataset.numbers !== numbers) {
    rows.dataset.numbers = numbers;
    rows.replaceChildren(
      ...shown.regions.map((region) => {
        const row = clone("region-row");
        row.dataset.number = region.number;
        one("input", row).addEventListener("change", (event) => take(region.number, event.target.checked));
        for (const name of ["pointerenter", "focusin"]) row.addEventListener(name, () => look(region.number));
        for (const name of ["pointerleave", "focusout"]) row.addEventListener(name, () => look(null));
        return row;
      }),
    );
  }
  for (const row of all(".region", rows)) {
    const region = shown.regions.find(({ number }) => number === Number(row.dataset.number));
    one("input", row).checked = chosen.includes(region.number);
    one("input", row).setAttribute("aria-label", region.label);
    tell(one(".number", row), region.number);
    tell(one("i", row), region.position);
    const width = handBox(x, region);
    one(".hand", row).style.left = `${width.left}%`;
    one(".hand", row).style.width = `${width.width}%`;
  }
};

const ask = async () => {
  const { instrument, tunings, language, names } = state.recipe;
  neck.setAttribute("aria-busy", "true");
  try {
    const key = state.neckKey || state.recipe.keys[0] || "C";
    one("#neck-key").value = key;
    const answer = await post("/api/neck", { recipe: { instrument, ...(tunings?.length ? { tunings } : {}), language, names }, key });
    if (!answer) return;
    shown = answer;
    show();
  } catch {
    /* The mistake is told beside the numbers and at its field. */
  }
  neck.setAttribute("aria-busy", "false");
};

export const startNeck = () => {
  onChange(paced(60, ask));
  one("#neck-key").addEventListener("change", (event) => {
    state.neckKey = event.target.value;
    changed();
  });
  board.addEventListener("click", (event) => {
    const chosen = state.recipe.regions ?? regionsOf(state.recipe);
    const wide = board.getBoundingClientRect();
    const at = ((event.clientX - wide.left) / wide.width) * 100;
    const x = scale(Math.min(shown.frets, Math.max(15, ...shown.regions.map((region) => region.high + 1))), neck.classList.contains("left"));
    const away = (region) => {
      const hand = handBox(x, region);
      return Math.abs(hand.left + hand.width / 2 - at);
    };
    const nearest = shown.regions.reduce((best, region) => (away(region) < away(best) ? region : best));
    take(nearest.number, !chosen.includes(nearest.number));
  });
  ask();
};
