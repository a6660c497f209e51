// Light and dark: what the device prefers, until a person chooses.
function looks() {
  const button = document.getElementById("theme"), prefers = window.matchMedia("(prefers-color-scheme: dark)");
  let chosen = null;
  const put = () => {
    const dark = chosen === null ? prefers.matches : chosen;
    document.documentElement.dataset.theme = dark ? "dark" : "light";
    document.body.dataset.jpThemeLight = String(!dark);
    button.textContent = dark ? "Light" : "Dark";
    button.setAttribute("aria-label", dark ? "Light colours" : "Dark colours");
  };
  button.addEventListener("click", () => {
    chosen = document.documentElement.dataset.theme !== "dark";
    put();
  });
  prefers.addEventListener("change", put);
  put();
}

looks();
