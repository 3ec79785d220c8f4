/* How a tune was understood: its bars with their chords, mistakes at their bars, and what can be played over it. */
import { all, clone, one, tell, words } from "./dom.js";
import { play, stop } from "./sound.js";

const chord = ({ symbol, understood, function: role, scale }) => {
  const part = clone("chord");
  one("b", part).textContent = understood || symbol;
  one("i", part).textContent = role;
  one("small", part).textContent = scale;
  return part;
};

const bar = (read, wrong) => {
  const item = clone("bar");
  item.firstElementChild.textContent = read.number;
  item.setAttribute("aria-label", words("bar", { number: read.number }));
  item.append(...read.chords.map(chord));
  item.classList.toggle("bad", wrong);
  if (!read.chords.length) item.append(read.text);
  return item;
};

const told = ({ bar: number, text }) => (number ? words("at-bar", { bar: number, error: text }) : text);

const drawSection = (part, number, answer) => {
  const mine = (entry) => entry.section === number;
  const errors = answer.errors.filter(mine);
  tell(one(".mistake", part), errors.map(told).join("\n"));
  const box = one("textarea", part);
  if (errors.length) box.setAttribute("aria-invalid", "true");
  else box.removeAttribute("aria-invalid");
  const wrong = (read) => errors.some((error) => error.bar === read.number);
  one(".bars", part).replaceChildren(...answer.bars.filter(mine).map((read) => bar(read, wrong(read))));
};

const clipButton = (button, clip, place) => {
  button.hidden = !clip;
  const idle = button.textContent;
  button.addEventListener("click", () => {
    if (play(clip, place, () => (button.textContent = idle))) button.textContent = button.dataset.stop;
  });
};

const passage = (read, number, place) => {
  const part = clone("passage");
  part.open = !number;
  one("summary", part).textContent = read.title;
  one(".task", part).textContent = read.task;
  for (const button of all("[data-clip]", part)) clipButton(button, read[button.dataset.clip], place);
  const image = one("img", part);
  image.parentElement.hidden = !read.score;
  if (read.score) image.src = read.score;
  image.alt = read.words;
  one(".line-words", part).textContent = read.words;
  return part;
};

const drawPassages = (article, passages) => {
  const place = one(".passages", article);
  const drawn = JSON.stringify(passages);
  one(".heard", article).hidden = !passages.length;
  if (place.dataset.drawn === drawn) return;
  place.dataset.drawn = drawn;
  stop(place);
  place.replaceChildren(...passages.map((read, number) => passage(read, number, place)));
};

/** Show an answer of the server in the form of its tune. */
export const drawReading = (article, answer) => {
  const parts = all(".section", article);
  parts.forEach((part, number) => drawSection(part, number, answer));
  const stray = answer.errors.filter(({ section }) => !(section in parts));
  tell(one('[data-at="tune"]', article), stray.map(told).join("\n"));
  for (const name of ["name", "order"]) {
    const field = one(`:scope > :is(.fields, .order) [data-of="${name}"]`, article);
    if (stray.some(({ where }) => where?.[0] === name)) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
  }
  drawPassages(article, answer.passages);
};
