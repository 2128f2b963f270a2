// The last snapshot with its patches. Nothing is worked out here.

export class State {
  revision = -1;
  you = "";
  may = "change";
  head = null;
  tables = {};
  orders = {};
  results = null;
  drafts = new Map(); // row -> {column: text} typed before there was gear: kept here, unsent

  // -> what changed: {table: {changed: [keys], reordered: bool}}
  take(news) {
    if (news.kind === "snapshot") return this.#snapshot(news);
    if (news.kind === "patch") return this.#patch(news);
    if (news.kind === "head") this.head = news.head;
    else if (news.kind === "results") this.results = news;
    else if (news.kind === "mended") this.#mended(news);
    else if (news.kind === "open-ends") Object.assign(this.results ?? {}, { verdict: news.verdict, depends_on: news.depends_on });
    return {};
  }

  row(id) {
    return this.tables.rows?.[id];
  }

  isFree(id) {
    return !this.row(id)?.at?.length;
  }

  // The next row behind another one into which nothing is plugged.
  nextFree(id) {
    const order = this.orders.rows ?? [];
    return order.slice(order.indexOf(id) + 1).find((each) => this.isFree(each));
  }

  verdictOf(id) {
    return this.results?.rows?.[id];
  }

  #snapshot(news) {
    Object.assign(this, { revision: news.revision, you: news.you, may: news.may, head: news.head, tables: news.tables, orders: news.orders });
    return Object.fromEntries(Object.keys(news.tables).map((name) => [name, { changed: news.orders[name], reordered: true }]));
  }

  #patch(news) {
    this.revision = news.revision;
    this.head = news.head;
    const changes = {};
    for (const [name, patch] of Object.entries(news.tables)) {
      Object.assign(this.tables[name], patch.set ?? {});
      if (patch.order) this.#keep(name, patch.order);
      changes[name] = { changed: Object.keys(patch.set ?? {}), reordered: Boolean(patch.order) };
    }
    return changes;
  }

  #keep(name, order) {
    this.orders[name] = order;
    const stays = new Set(order);
    for (const key of Object.keys(this.tables[name])) if (!stays.has(key)) delete this.tables[name][key];
  }

  #mended(news) {
    const finding = this.results?.findings?.find((each) => each.id === news.id);
    if (finding) finding.remedies = news.remedies;
  }
}
