/* How a tune was understood: its bars with their chords, mistakes at their bars, the loop and the example line. */
import { all, clone, one, tell, words } from "./dom.js";
import { play } from "./sound.js";

const chord = ({ symbol, understood, function: role, scale }) => {
  const part = clone("chord");
  one("b", part).textContent = understood || symbol;
  one("i", part).textContent = role;
  one("small", part).textContent = scale;
  return part;
};

const mistakeOf = ({ text, remedy }) => [text, remedy].filter(Boolean).join(" ");

const bar = (read, wrong) => {
  const item = clone("bar");
  item.firstElementChild.textContent = read.number;
  item.setAttribute("aria-label", words("bar", { number: read.number }));
  item.append(...read.chords.map(chord));
  if (wrong) {
    item.classList.add("bad");
    if (!read.chords.length) item.append(read.text);
    const line = document.createElement("p");
    line.textContent = mistakeOf(wrong);
    item.append(line);
  }
  return item;
};

const drawSection = (part, number, answer, only) => {
  const mine = (entry) => only || entry.section === number;
  const errors = answer.errors.filter(mine);
  const bars = answer.bars.filter(mine);
  const told = errors.map((error) =>
    error.bar ? words("at-bar", { bar: error.bar, error: mistakeOf(error) }) : mistakeOf(error),
  );
  tell(one(".mistake", part), told.join(" "));
  const box = one("textarea", part);
  if (errors.length) box.setAttribute("aria-invalid", "true");
  else box.removeAttribute("aria-invalid");
  one(".bars", part).replaceChildren(...bars.map((read) => bar(read, errors.find((error) => error.bar === read.number))));
};

const drawHeard = (article, { loop, line }) => {
  const button = one(".hear", article);
  button.disabled = !loop;
  button.onclick = () => {
    const over = () => (button.textContent = button.dataset.play);
    if (play(loop, over)) button.textContent = button.dataset.stop;
  };
  one(".heard", article).hidden = !line;
  if (!line) return;
  const image = one(".score img", article);
  if (image.getAttribute("src") !== line.score) image.src = line.score;
  image.alt = line.words;
  tell(one(".line-words", article), line.words);
};

/** Show an answer of the server in the form of its tune. */
export const drawReading = (article, answer) => {
  const parts = all(".section", article);
  parts.forEach((part, number) => drawSection(part, number, answer, parts.length === 1));
  const stray = answer.errors.filter(({ section }) => parts.length > 1 && !(section in parts));
  tell(one('[data-at="tune"]', article), stray.map(mistakeOf).join(" "));
  drawHeard(article, answer);
};
