/* Own changes: tunes as forms of the page, read by the server while they are typed. */
import { post } from "./api.js";
import { all, clone, data, one, settled, tell, words } from "./dom.js";
import { notice } from "./notice.js";
import { drawReading } from "./reading.js";
import { changed, copy, onChange, sparse, state } from "./state.js";

const starts = data("starts");
const list = one("#tunes");
let serial = 0;

const lines = (bars) => (Array.isArray(bars) ? bars.join("\n") : (bars ?? ""));
const sectionsOf = (tune) => (tune.sections?.length ? tune.sections : [{ name: "", bars: tune.bars ?? "" }]);

const value = (root, name) => one(`[data-of="${name}"]`, root)?.value ?? "";

/** Read a tune back from its form: with bars of its own where it has but one section. */
const tuneOf = (article) => {
  const sections = all(".section", article).map((section) => {
    const key = value(section, "key");
    return { name: value(section, "name").trim(), bars: value(section, "bars").split("\n"), ...(key ? { key } : {}) };
  });
  const order = value(article, "order").split(/[\s,]+/).filter(Boolean);
  const tune = { name: value(article, "name").trim(), key: value(article, "key") };
  if (!one('[data-of="transpose"]', article).checked) tune.transpose = false;
  if (sections.length === 1 && !sections[0].key) return { ...tune, bars: sections[0].bars };
  return { ...tune, sections, ...(order.length ? { order } : {}) };
};

const number = (article) => all(".tune", list).indexOf(article);

const read = async (article) => {
  const tune = tuneOf(article);
  try {
    const answer = await post("/api/changes", { recipe: sparse({ ...state.recipe, changes: [] }), tune }, `changes ${article.dataset.serial}`);
    if (answer) drawReading(article, answer);
  } catch (refusal) {
    tell(one('[data-at="tune"]', article), refusal.message);
  }
};

const write = (article) => {
  state.recipe.changes[number(article)] = tuneOf(article);
  changed();
};

const showParts = (article) => {
  const several = all(".section", article).length > 1 || all('.section [data-of="key"]', article).some((key) => key.value);
  for (const named of all(".named", article)) named.hidden = !several;
  one(".order", article).hidden = !several;
};

const addSection = (article, section) => {
  const part = clone("section");
  const box = one("textarea", part);
  const mistake = one(".mistake", part);
  mistake.id = `mistake-section-${(serial += 1)}`;
  box.setAttribute("aria-describedby", mistake.id);
  one('[data-of="name"]', part).value = section.name ?? "";
  one('[data-of="key"]', part).value = section.key ?? "";
  box.value = lines(section.bars);
  const fit = () => (box.rows = Math.max(3, box.value.split("\n").length + 1));
  box.addEventListener("input", fit);
  fit();
  one(".remove-section", part).addEventListener("click", () => {
    const former = tuneOf(article);
    part.remove();
    showParts(article);
    write(article);
    read(article);
    const at = number(article);
    notice(words("removed", { name: section.name || value(part, "name") }), () => {
      state.recipe.changes[at] = former;
      changed(true);
    });
  });
  one(".sections", article).append(part);
  return part;
};

const drawTune = (tune) => {
  const article = clone("tune");
  article.dataset.serial = serial += 1;
  one('[data-of="name"]', article).value = tune.name ?? "";
  one('[data-of="key"]', article).value = tune.key ?? "C";
  one('[data-of="transpose"]', article).checked = tune.transpose !== false;
  one('[data-of="order"]', article).value = (tune.order ?? []).join(" ");
  for (const section of sectionsOf(tune)) addSection(article, section);
  const mistake = one('[data-at="tune"]', article);
  mistake.id = `mistake-tune-${article.dataset.serial}`;
  for (const name of ["name", "order"]) {
    one(`:scope > :is(.fields, .order) [data-of="${name}"]`, article).setAttribute("aria-describedby", mistake.id);
  }
  showParts(article);
  list.append(article);
  const readSoon = settled(120, () => read(article));
  const later = () => {
    write(article);
    readSoon();
  };
  article.addEventListener("input", later);
  one(".add-section", article).addEventListener("click", () => {
    const names = words("new-section").split(" ");
    const parts = all(".section", article);
    if (parts.length === 1 && !value(parts[0], "name")) one('[data-of="name"]', parts[0]).value = names[0];
    const added = addSection(article, { name: names[parts.length] ?? String(parts.length + 1), bars: "| Imaj7 |" });
    showParts(article);
    one("textarea", added).focus();
    later();
  });
  one(".remove", article).addEventListener("click", () => {
    const former = [...state.recipe.changes];
    state.recipe.changes.splice(number(article), 1);
    changed(true);
    one("#changes-title").focus();
    notice(words("removed", { name: tuneOf(article).name }), () => {
      state.recipe.changes = former;
      changed(true);
    });
  });
  read(article);
  return article;
};

const show = () => {
  const tunes = state.recipe.changes ?? [];
  list.replaceChildren();
  tunes.forEach(drawTune);
  one("#no-tune").hidden = tunes.length > 0;
};

export const startChanges = () => {
  for (const button of all("[data-start]")) {
    button.addEventListener("click", () => {
      const tune = starts[button.dataset.start];
      const names = (state.recipe.changes ?? []).map(({ name }) => name);
      let { name } = tune;
      for (let again = 2; names.includes(name); again += 1) name = `${tune.name} ${again}`;
      state.recipe.changes = [...(state.recipe.changes ?? []), { ...copy(tune), name }];
      one("#no-tune").hidden = true;
      const bars = one("textarea", drawTune(state.recipe.changes[names.length]));
      bars.setSelectionRange(0, 0); // else WebKit scrolls to the end of what is there
      bars.focus();
      changed();
    });
  }
  onChange((replaced) => replaced && show());
  show();
};
