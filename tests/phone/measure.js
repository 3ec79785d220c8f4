/* What a person with a small screen would stumble over on the page that is shown; called with nothing, returns plain data. */
() => {
  const shown = (element) => element.checkVisibility({ opacityProperty: true, visibilityProperty: true });
  const box = (r) => ({ left: r.left, top: r.top, right: r.right, bottom: r.bottom, width: r.width, height: r.height });

  const channels = (colour) => colour.match(/[\d.]+/g).map(Number);
  const linear = (c) => (c <= 0.04045 * 255 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4);
  const luminance = ([r, g, b]) => 0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b);
  const ground = (element) => {
    for (let at = element; at; at = at.parentElement) {
      const colour = channels(getComputedStyle(at).backgroundColor);
      if (colour.length === 3 || colour[3] === 1) return colour;
      if (colour[3] > 0) throw new Error("a half-clear ground: " + at.className);
    }
    return [255, 255, 255];
  };
  const contrast = (a, b) => {
    const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y);
    return (light + 0.05) / (dark + 0.05);
  };

  const texts = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode;
    if (!node.data.trim() || !shown(node.parentElement)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const style = getComputedStyle(node.parentElement);
    texts.push({
      text: node.data.trim(),
      size: parseFloat(style.fontSize),
      contrast: contrast(channels(style.color), ground(node.parentElement)),
      boxes: [...range.getClientRects()].filter((r) => r.width > 0).map(box),
    });
  }
  const pictures = [...document.images].filter(shown).map((image) => ({
    file: image.getAttribute("src"),
    alt: image.alt,
    loaded: image.complete && image.naturalWidth > 0,
    natural: [image.naturalWidth, image.naturalHeight],
    box: box(image.getBoundingClientRect()),
  }));
  const targets = [...document.querySelectorAll("a, button, summary, [role=button]")].filter(shown).map((element) => ({
    name: (element.getAttribute("aria-label") || element.textContent).trim(),
    box: box(element.getBoundingClientRect()),
  }));
  return {
    width: document.documentElement.clientWidth,
    scrollWidth: Math.max(document.documentElement.scrollWidth, document.body.scrollWidth),
    height: innerHeight,
    texts,
    pictures,
    targets,
    sounds: [...document.querySelectorAll("[data-file]")].map((element) => element.dataset.file),
  };
}
