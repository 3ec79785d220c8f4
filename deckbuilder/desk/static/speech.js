/* The page speaks as its recipe does: in another language, or with other names of notes, it is loaded anew. */
import { post } from "./api.js";
import { all, one, tell } from "./dom.js";
import { keep, onChange, replaceRecipe, sparse, state } from "./state.js";

const spoken = document.documentElement.dataset;

/** Load the page anew where it speaks otherwise than its recipe; returns whether it does. */
const follow = () => {
  const { language, names } = state.recipe;
  if (language === spoken.language && names === spoken.names) return false;
  keep();
  location.replace(`/?${new URLSearchParams({ language, names })}${location.hash}`);
  return true;
};

export const startSpeech = () => {
  if (follow()) return;
  onChange(follow);
  for (const choice of all('input[name="names"]')) {
    choice.checked = choice.value === spoken.names;
    choice.addEventListener("change", async () => {
      try {
        const { recipe } = await post("/api/recipes/renamed", { recipe: sparse(), names: choice.value });
        replaceRecipe({ ...recipe, names: choice.value });
      } catch (refusal) {
        tell(one("#recipe-mistake"), refusal.message);
        choice.checked = false;
        one(`input[name="names"][value="${spoken.names}"]`).checked = true;
      }
    });
  }
};
