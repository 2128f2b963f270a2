// The last snapshot with its patches. Nothing is worked out here.

export class State {
  run = ""; // of the program; revisions of another run mean nothing
  revision = -1;
  you = "";
  may = "change";
  head = null;
  undo = null; // what this person would take back
  redo = null;
  isShutOut = false; // the pass of this device counts no more
  people = []; // who is here
  by = ""; // whose step came last
  last = null; // {by, what}: what somebody else changed last
  tables = {};
  orders = {};
  results = null;
  progress = null; // of the work behind it
  isUp = false; // whether there is a connection
  pending = new Map(); // row -> {column: text} typed and not acknowledged
  drafts = new Map(); // row -> {column: text} typed before there was gear: kept here, unsent
  draftedAt = new Map(); // row -> the revision at which its draft was begun
  sending = new Set(); // rows whose drafts are on their way

  // What was typed into a row and stands nowhere else yet: without gear, or without a connection.
  typed(id) {
    return this.isUp ? (this.drafts.get(id) ?? {}) : this.newest(id);
  }

  // What was typed last into a row, acknowledged or not: a quick hand goes on from that.
  newest(id) {
    return { ...this.drafts.get(id), ...this.pending.get(id) };
  }

  wait(cells) {
    for (const [row, column, text] of cells) this.pending.set(row, { ...this.pending.get(row), [column]: text });
  }

  settled(cells) {
    for (const [row, column, text] of cells) {
      const { [column]: now, ...rest } = this.pending.get(row) ?? {};
      if (now !== text) continue; // typed anew meanwhile
      if (Object.keys(rest).length) this.pending.set(row, rest);
      else this.pending.delete(row);
    }
  }

  // -> what changed: {table: {changed: [keys], reordered: bool}}
  take(news) {
    if (news.kind === "up" || news.kind === "down") this.isUp = news.kind === "up";
    if (news.kind === "snapshot") return this.#snapshot(news);
    if (news.kind === "caught-up") Object.assign(this, welcome(news), { by: "somebody" });
    if (news.kind === "patch" && news.by) this.by = news.by;
    if (news.kind === "patch" && news.by && news.by !== this.you) this.last = { by: news.by, what: news.what };
    if (news.kind === "patch" || news.kind === "caught-up") return this.#patch(news);
    if (news.kind === "head") this.head = news.head;
    else if (news.kind === "buttons" || (news.kind === "done" && "undo" in news)) Object.assign(this, { undo: news.undo, redo: news.redo });
    else if (news.kind === "shut-out") this.isShutOut = true;
    else if (news.kind === "here") this.people = news.people;
    else if (news.kind === "results") this.results = news;
    else if (news.kind === "progress") this.progress = news;
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

  // Cells of a row without gear wait for it here.
  draft(cells) {
    for (const [row, column, words] of cells) {
      if (this.row(row)?.at?.length || bringsGear(cells, row)) continue;
      const draft = this.drafts.get(row) ?? {};
      if (words.trim()) draft[column] = words;
      else delete draft[column];
      if (!this.drafts.has(row)) this.draftedAt.set(row, this.revision);
      if (Object.keys(draft).length) this.drafts.set(row, draft);
      else this.drafts.delete(row);
    }
  }

  // Drafts of rows into which somebody else has brought gear: they wait no longer. -> [{cells, base}]
  ripe() {
    const rows = [...this.drafts.keys()].filter((row) => this.row(row)?.at?.length && !this.sending.has(row));
    return rows.map((row) => {
      const cells = Object.entries(this.drafts.get(row)).map(([column, words]) => [row, column, words]);
      this.drafts.delete(row);
      return { cells, base: this.draftedAt.get(row) };
    });
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
    Object.assign(this, welcome(news), { revision: news.revision, head: news.head, tables: news.tables, orders: news.orders });
    return Object.fromEntries(Object.keys(news.tables).map((name) => [name, { changed: news.orders[name], reordered: true }]));
  }

  // Whether a patch goes on from what is known here.
  follows(news) {
    return news.kind !== "patch" || news.after === this.revision || news.revision === this.revision;
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

// What a page is told about itself when it comes.
function welcome({ run, you, may, undo, redo }) {
  return { run, you, may, undo, redo, isShutOut: false };
}

function bringsGear(cells, row) {
  return cells.some(([id, column, words]) => id === row && column === "gear" && words.trim());
}
