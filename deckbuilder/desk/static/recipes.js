/* Recipes: taking one, opening a file, keeping one's own. */
import { post, send } from "./api.js";
import { one, tell, words } from "./dom.js";
import { dropped } from "./drop.js";
import { replace } from "./notice.js";
import { asHere } from "./speech.js";
import { sparse, state } from "./state.js";

const list = one("#recipe-list");
const name = one("#save-name");

const take = ({ recipe, name: called }) => {
  replace(recipe, "taken", { name: recipe.title ?? called });
  if (called) name.value = called;
};

const open = async (body, called = body.name) => {
  const mistake = one("#open-mistake");
  try {
    const { recipe } = await post("/api/recipes/open", body);
    take({ recipe: await asHere(recipe), name: called });
    tell(mistake, "");
  } catch (refusal) {
    tell(mistake, refusal.message);
  }
};

/** Add to the list what was saved meanwhile. */
const listAgain = async () => {
  const recipes = await send("/api/recipes");
  for (const recipe of recipes.filter((entry) => !one(`[data-open="${CSS.escape(entry.name)}"]`))) {
    const item = list.firstElementChild.cloneNode(true);
    const button = one("button", item);
    one("b", item).textContent = recipe.title;
    one("small", item).textContent = recipe.sentence;
    button.setAttribute("aria-label", `${button.textContent}: ${recipe.title}`);
    button.dataset.open = recipe.name;
    list.append(item);
  }
};

const save = async (event) => {
  event.preventDefault();
  const link = one("#save-download");
  try {
    const saved = await post("/api/recipes/save", { name: name.value.trim(), recipe: sparse() });
    const file = `${saved.name}.toml`;
    tell(one("#save-mistake"), "");
    tell(one("#saved"), words("saved", { name: saved.path ?? file }));
    link.href = `/api/recipes/${encodeURIComponent(saved.name)}.toml`;
    link.hidden = false;
    await listAgain();
  } catch (refusal) {
    link.hidden = true;
    tell(one("#saved"), "");
    tell(one("#save-mistake"), refusal.message);
  }
};

export const startRecipes = () => {
  list.addEventListener("click", (event) => {
    const button = event.target.closest("[data-open]");
    if (button) open({ name: button.dataset.open });
  });
  dropped(one("#open-drop"), async (file) => open({ text: await file.text() }, file.name.replace(/\.toml$/i, "")));
  one("#save-form").addEventListener("submit", save);
  name.value ||= state.recipe.title.normalize("NFKD").toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "");
};
