// Light or dark by choice. The choice is kept in a cookie so that the server writes it into the page,
// and nothing flashes; without a choice the device decides.

const ONE_YEAR_S = 365 * 24 * 60 * 60;

function shownTheme() {
  const chosen = document.documentElement.dataset.theme;
  return chosen ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light");
}

export function offerThemes(root) {
  for (const button of root.querySelectorAll("[data-theme-switch]")) {
    button.hidden = false;
    button.addEventListener("click", () => {
      const theme = shownTheme() === "dark" ? "light" : "dark";
      document.documentElement.dataset.theme = theme;
      document.cookie = `theme=${theme}; path=/; max-age=${ONE_YEAR_S}; samesite=lax`;
    });
  }
}
