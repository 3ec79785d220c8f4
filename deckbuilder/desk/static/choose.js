/* Choosing the instrument's strings and the keys; everything else there is a plain field. */
import { all, data, one } from "./dom.js";
import { replace } from "./notice.js";
import { changed, defaults, onChange, state } from "./state.js";

const tunings = data("tunings");
const SAME_KEY = { "F#": "Gb", "C#": "Db", Cb: "B" };

const known = () => tunings.find((tuning) => tuning.name === state.recipe.instrument.tuning);
const pitchesOf = (tuning) => (Array.isArray(tuning) ? tuning : tuning.split(/[\s,;]+/)).filter(Boolean);

const startTuning = () => {
  const select = one("#tuning");
  const own = one("#own-strings");
  const text = one("input", own);
  const show = () => {
    const named = all("option", select).some((option) => option.value && option.value === state.recipe.instrument.tuning);
    select.value = named ? state.recipe.instrument.tuning : "";
    own.hidden = named;
    if (!named && document.activeElement !== text) text.value = pitchesOf(state.recipe.instrument.tuning).join(" ");
  };
  const take = (tuning) => {
    state.recipe.instrument.tuning = tuning;
    delete state.recipe.instrument.frets;
    changed();
  };
  select.addEventListener("change", () => {
    const former = known()?.pitches;
    take(select.value || [...(former ?? tunings[0].pitches)]);
    show();
  });
  text.addEventListener("input", () => take(pitchesOf(text.value)));
  onChange((replaced) => replaced && show());
  show();
};

const startKeys = () => {
  const boxes = all("[data-key]");
  const order = boxes.map((box) => box.value);
  const place = (name) => order.indexOf(SAME_KEY[name] ?? name);
  const show = () => {
    const chosen = state.recipe.keys.map(place);
    boxes.forEach((box, number) => (box.checked = chosen.includes(number)));
    one("#key-count").value = chosen.length;
  };
  /* A key that is taken in comes where the circle has it, unless the recipe has an order of its own: then last. */
  const take = (keys) => {
    state.recipe.keys = keys;
    show();
    changed();
  };
  const inOrder = (keys) => keys.every((name, number) => !number || place(keys[number - 1]) < place(name));
  for (const box of boxes) {
    box.addEventListener("change", () => {
      const keys = state.recipe.keys;
      if (!box.checked) take(keys.filter((name) => place(name) !== order.indexOf(box.value)));
      else take(inOrder(keys) ? [...keys, box.value].sort((one, other) => place(one) - place(other)) : [...keys, box.value]);
    });
  }
  one("#all-keys").addEventListener("click", () => take([...defaults.keys]));
  one("#no-keys").addEventListener("click", () => take([]));
  onChange((replaced) => replaced && show());
  show();
};

/** A recipe from a file may have blocks and tags, which this page can only leave as they are or leave out. */
const startGiven = (name, field) => {
  const panel = one(`#${name}`);
  const show = () => {
    const given = state.recipe[field] ?? [];
    panel.hidden = !given.length;
    for (const told of panel.querySelectorAll("output")) told.textContent = given.join(", ");
  };
  one(`#no-${name}`).addEventListener("click", () => {
    const { [field]: _, ...others } = state.recipe;
    replace(others, `no-${name}`);
    one("#choose-title").focus();
  });
  onChange(show);
  show();
};

export const startChoose = () => {
  startGiven("blocks", "study");
  startGiven("tags", "tags");
  startTuning();
  startKeys();
};
