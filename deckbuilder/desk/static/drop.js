/* A place to drop a file on, or to choose one with. */
import { one } from "./dom.js";

/** Have a function called with the file that was chosen or dropped. */
export const dropped = (place, take) => {
  const input = one("input", place);
  input.addEventListener("change", () => {
    if (input.files.length) take(input.files[0]);
    input.value = "";
  });
  for (const name of ["dragenter", "dragover"]) {
    place.addEventListener(name, (event) => {
      event.preventDefault();
      place.classList.add("over");
    });
  }
  place.addEventListener("dragleave", () => place.classList.remove("over"));
  place.addEventListener("drop", (event) => {
    event.preventDefault();
    place.classList.remove("over");
    if (event.dataTransfer.files.length) take(event.dataTransfer.files[0]);
  });
};

/** A file dropped beside the place is not opened in the page's stead. */
export const startDrop = () => {
  for (const name of ["dragover", "drop"]) window.addEventListener(name, (event) => event.preventDefault());
};
