// The names of the views, by the moment of work: one line on a laptop, behind one press on a phone.

export class Nav {
  #nav;
  #menu;

  // again(): the view that is open was pressed once more.
  constructor(nav, again) {
    this.#nav = nav;
    this.#menu = nav.querySelector(".menu");
    this.#menu.addEventListener("click", () => this.#open(!this.#isOpen));
    nav.addEventListener("click", (event) => this.#pressed(event.target.closest("a"), again));
    nav.addEventListener("keydown", (event) => event.key === "Escape" && this.#isOpen && (this.#open(false), this.#menu.focus()));
    nav.addEventListener("focusout", (event) => event.relatedTarget && !nav.contains(event.relatedTarget) && this.#open(false));
    document.addEventListener("pointerdown", (event) => nav.contains(event.target) || this.#open(false));
    document.addEventListener("keydown", (event) => this.#letter(event));
  }

  // Which view is open.
  mark(name) {
    for (const link of this.#nav.querySelectorAll("a")) {
      if (link.hash !== `#${name}`) link.removeAttribute("aria-current");
      else link.setAttribute("aria-current", "page"), (this.#menu.firstElementChild.textContent = link.textContent);
    }
    this.#open(false);
  }

  get #isOpen() {
    return this.#menu.getAttribute("aria-expanded") === "true";
  }

  #open(isOpen) {
    this.#menu.setAttribute("aria-expanded", String(isOpen));
  }

  #pressed(link, again) {
    if (!link) return;
    this.#open(false);
    if (link.hash && link.hash === location.hash) again();
  }

  // Alt with the letter that is underlined goes to a view, from wherever the keyboard is.
  #letter(event) {
    const keys = event.altKey && !event.ctrlKey && !event.metaKey ? `Alt+${event.code.replace("Key", "")}` : "";
    const link = keys && this.#nav.querySelector(`[aria-keyshortcuts="${keys}"]`);
    if (!link || document.querySelector("dialog[open]")) return;
    event.preventDefault();
    document.activeElement.blur();
    link.click();
  }
}
