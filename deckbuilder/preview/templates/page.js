"use strict";
/* The page of a deck: window.deck holds the address of the cards' style, the HTML of their sides, and for each card the
   numbers of its two sides and its value on every axis. */
(() => {
  const PAGE = 24;
  const { style, words, sides, cards } = window.deck;
  const said = (message, values) => message.replace(/\{(\w+)\}/g, (_, name) => values[name]);
  const form = document.querySelector(".filters");
  const list = document.querySelector(".cards");
  const boxes = [...form.querySelectorAll("input")];
  const axes = [...new Set(boxes.map((box) => box.name))];
  const player = new Audio();
  let found = [];
  let first = 0;

  const chosen = () =>
    Object.fromEntries(axes.map((axis) => [axis, new Set(boxes.filter((box) => box.name === axis && box.checked).map((box) => box.value))]));
  const fits = (values, wanted, except) =>
    axes.every((axis) => axis === except || !wanted[axis].size || wanted[axis].has(values[axis]));

  /* A filter's count is what choosing it would leave: cards that fit every other axis. */
  const count = (wanted) => {
    for (const axis of axes) {
      const tally = new Map();
      for (const [, , values] of cards) {
        if (fits(values, wanted, axis)) tally.set(values[axis], (tally.get(values[axis]) || 0) + 1);
      }
      for (const box of boxes.filter((box) => box.name === axis)) {
        const number = tally.get(box.value) || 0;
        box.nextElementSibling.querySelector("small").textContent = number;
        box.parentElement.classList.toggle("none", !number && !box.checked);
      }
    }
  };

  const play = (button) => {
    const clip = button.dataset.clip;
    const same = player.dataset.clip === clip;
    if (same && !player.paused) {
      player.pause();
      player.currentTime = 0;
      return;
    }
    if (!same) player.src = player.dataset.clip = clip;
    player.currentTime = 0;
    player.play();
  };

  const article = ([front, back, values], number) => {
    const item = document.createElement("li");
    const heading = document.createElement("h2");
    const host = document.createElement("div");
    const turn = document.createElement("button");
    const card = document.createElement("div");
    const sheet = document.createElement("link");
    const shadow = host.attachShadow({ mode: "open" });
    heading.textContent = said(words.card, { number, kind: values.kind });
    host.className = "side";
    host.setAttribute("aria-live", "polite");
    turn.type = "button";
    turn.className = "turn";
    card.className = "card";
    sheet.rel = "stylesheet";
    /* A card is not seen before its style is there. A sheet that a script makes would do, but browsers of 2022 know none. */
    card.style.visibility = "hidden";
    sheet.onload = sheet.onerror = () => (card.style.visibility = "");
    sheet.href = style;
    shadow.append(sheet, card);
    let turned = false;
    const show = () => {
      card.innerHTML = sides[turned ? back : front];
      turn.textContent = turned ? words.question : words.answer;
    };
    turn.addEventListener("click", () => {
      turned = !turned;
      show();
    });
    shadow.addEventListener("click", (event) => {
      const button = event.target.closest(".replay");
      if (button) play(button);
    });
    show();
    item.append(heading, host, turn);
    return item;
  };

  const show = () => {
    player.pause();
    const last = Math.min(first + PAGE, found.length);
    list.start = first + 1;
    list.replaceChildren(...found.slice(first, last).map((card, n) => article(card, first + n + 1)));
    document.querySelector(".count").textContent = !found.length
      ? words.none
      : found.length > PAGE
        ? said(words.page, { first: first + 1, last, count: found.length })
        : said(found.length === 1 ? words.one : words.many, { count: found.length });
    for (const button of document.querySelectorAll(".previous")) button.disabled = first === 0;
    for (const button of document.querySelectorAll(".next")) button.disabled = last >= found.length;
  };

  const filter = () => {
    const wanted = chosen();
    found = cards.filter(([, , values]) => fits(values, wanted));
    first = 0;
    const number = boxes.filter((box) => box.checked).length;
    document.querySelector(".chosen").textContent = number ? `· ${said(words.chosen, { count: number })}` : "";
    count(wanted);
    show();
  };

  const page = (step) => {
    const to = first + step * PAGE;
    if (to < 0 || to >= found.length) return;
    first = to;
    show();
    const results = document.getElementById("results");
    results.scrollIntoView();
    results.focus({ preventScroll: true });
  };

  form.addEventListener("change", filter);
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("reset", () => setTimeout(filter));
  for (const button of document.querySelectorAll(".previous")) button.addEventListener("click", () => page(-1));
  for (const button of document.querySelectorAll(".next")) button.addEventListener("click", () => page(1));
  document.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey || event.target.matches("input")) return;
    if (event.key === "ArrowLeft") page(-1);
    if (event.key === "ArrowRight") page(1);
  });
  if (matchMedia("(max-width: 899px)").matches) form.querySelector("details").open = false;
  filter();
})();
