// The picture as it is seen, as a file of its own; and files handed to the person.

const COPIED = ["fill", "stroke", "stroke-width", "stroke-dasharray", "stroke-linecap", "stroke-linejoin", "opacity", "fill-opacity",
  "stroke-opacity", "font-family", "font-size", "font-weight", "text-anchor", "dominant-baseline", "paint-order", "stop-color",
  "stop-opacity", "visibility", "letter-spacing", "font-variant-numeric"];

// Styles come from the page's sheet: a copy that stands alone carries them itself.
function alone(node) {
  const copy = node.cloneNode(true);
  const from = [node, ...node.querySelectorAll("*")];
  const to = [copy, ...copy.querySelectorAll("*")];
  from.forEach((one, k) => {
    const style = getComputedStyle(one);
    if (style.display === "none") to[k].dataset.gone = "";
    to[k].setAttribute("style", COPIED.map((name) => `${name}:${style.getPropertyValue(name)}`).join(";"));
    for (const name of ["class", "tabindex", "role", "aria-hidden"]) to[k].removeAttribute(name);
  });
  copy.querySelectorAll("[data-gone]").forEach((one) => one.remove());
  copy.setAttribute("xmlns", "http://www.w3.org/2000/svg");
  copy.setAttribute("role", "img");
  const paper = document.createElementNS("http://www.w3.org/2000/svg", "rect");
  paper.setAttribute("width", "100%");
  paper.setAttribute("height", "100%");
  paper.setAttribute("fill", getComputedStyle(node.closest(".scene")).backgroundColor);
  copy.prepend(paper);
  return new XMLSerializer().serializeToString(copy);
}

export async function pictureAs(node, kind) {
  const text = alone(node);
  if (kind === "svg") return text;
  const { width, height } = node.getBoundingClientRect();
  const scale = Math.max(2, 1920 / width);
  const image = new Image();
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(text)}`;
  await image.decode();
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(width * scale);
  canvas.height = Math.round(height * scale);
  canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
  return new Promise((done) => { canvas.toBlob(done, "image/png"); });
}

export function saveFile(name, content, type) {
  const url = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 10000);
}
