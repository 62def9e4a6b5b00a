/* Dark, light or full sun; bare hands or gloves. Kept on this phone. */
export type Theme = "system" | "light" | "dark" | "sun";

class Look {
  theme = $state<Theme>((localStorage.getItem("inspect.theme") as Theme | null) ?? "system");
  glove = $state(localStorage.getItem("inspect.glove") === "yes");

  choose(theme: Theme, glove: boolean): void {
    this.theme = theme;
    this.glove = glove;
    localStorage.setItem("inspect.theme", theme);
    localStorage.setItem("inspect.glove", glove ? "yes" : "no");
    this.apply();
  }

  apply(): void {
    const { dataset } = document.documentElement;
    if (this.theme === "system") delete dataset["theme"];
    else dataset["theme"] = this.theme;
    if (this.glove) dataset["hand"] = "glove";
    else delete dataset["hand"];
  }
}

export const look = new Look();
