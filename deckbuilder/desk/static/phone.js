/* To the phone: the address with its code, and the time that it has left. */
import { post, send } from "./api.js";
import { one, tell, words } from "./dom.js";

const panel = one("#phone");
let until = 0;
let clock = null;
let from = null;

const end = (told) => {
  clearInterval(clock);
  clock = null;
  if (panel.contains(document.activeElement)) (from ?? one("#build-title")).focus();
  panel.hidden = true;
  tell(one("#phone-ended"), told ? words("phone-ended") : "");
};

const tick = () => {
  const left = Math.max(0, Math.ceil((until - Date.now()) / 1000));
  tell(one("#phone-left"), `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")}`);
  if (!left) end(true);
};

const show = (answer) => {
  until = Date.parse(answer.until);
  const link = one("#phone-url");
  link.href = answer.url;
  tell(link, answer.url);
  one("#qr").replaceChildren(document.importNode(new DOMParser().parseFromString(answer.qr, "image/svg+xml").documentElement, true));
  const others = answer.addresses.map(({ url }) => url).filter((url) => url !== answer.url);
  one("#more-addresses").hidden = !others.length;
  tell(one("#more-addresses span"), others.join("  "));
  tell(one("#phone-ended"), "");
  panel.hidden = false;
  clearInterval(clock);
  clock = setInterval(tick, 500);
  tick();
};

/** Let a phone fetch a deck; the button that was pressed has the focus again at the end. */
export const offer = async (deck, button) => {
  const mistake = one("#phone-mistake");
  try {
    show(await post("/api/phone", { deck }));
    from = button;
    tell(mistake, "");
    panel.focus({ preventScroll: true });
    panel.scrollIntoView({ block: "nearest" });
  } catch (refusal) {
    tell(mistake, refusal.message);
  }
};

export const startPhone = async () => {
  one("#phone-stop").addEventListener("click", () => send("/api/phone", { method: "DELETE" }).then(() => end(true), () => {}));
  try {
    const current = await send("/api/phone");
    if (current.url) show(current);
  } catch {
    /* Nothing is offered. */
  }
};
