// Views that are fetched when they are first looked at: what a phone never opens costs it nothing.

export class Later {
  #makers;
  #made = new Map(); // name -> Promise of the view
  #views = []; // those that are there

  // makers: name -> () => Promise of a view with load(), focus() and hear(news)
  constructor(makers) {
    this.#makers = makers;
  }

  view(name) {
    if (!this.#made.has(name)) this.#made.set(name, this.#make(name));
    return this.#made.get(name);
  }

  async #make(name) {
    const view = await this.#makers[name]();
    this.#views.push(view);
    return view;
  }

  // The page turned to a view; the keyboard goes along where it was asked for.
  async open(name, isAsked) {
    if (!this.#makers[name]) return;
    const view = await this.view(name);
    view.load();
    if (isAsked && location.hash === `#${name}`) view.focus();
  }

  hear(news) {
    for (const view of this.#views) view.hear(news);
  }
}
