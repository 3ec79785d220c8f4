/* The page speaks as its recipe does: in another language, or with other names of notes, it is loaded anew. */
import { post } from "./api.js";
import { all, one, tell } from "./dom.js";
import { followSpeech, replaceRecipe, sparse, speaksHere, spoken } from "./state.js";

const renamed = async (recipe, names) => (await post("/api/recipes/renamed", { recipe, names })).recipe;

/** A recipe that says nothing of how it speaks, as this page speaks. */
export const asHere = async (recipe) => {
  const { language, names } = spoken;
  if (recipe.language || recipe.names || speaksHere(recipe)) return recipe;
  return { ...(await renamed(recipe, names)), language, names };
};

/** Begin; returns whether the page is loaded anew instead. */
export const startSpeech = () => {
  if (followSpeech()) return true;
  for (const choice of all('input[name="names"]')) {
    choice.checked = choice.value === spoken.names;
    choice.addEventListener("change", async () => {
      try {
        replaceRecipe({ ...(await renamed(sparse(), choice.value)), language: spoken.language, names: choice.value });
      } catch (refusal) {
        tell(one("#recipe-mistake"), refusal.message);
        one(`input[name="names"][value="${spoken.names}"]`).checked = true;
      }
    });
  }
  return false;
};
