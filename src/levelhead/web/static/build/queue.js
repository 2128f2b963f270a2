// What is typed goes out one after another. A row that was free when it was typed into may have been taken by the row above
// it meanwhile (stereo gear takes two): then it goes into the next one that is free.

export class TypingQueue {
  #state;
  #send;
  #last = Promise.resolve();
  #line = null; // {row, went}: the row that was begun last, and where it went: the rest of it goes there too

  #waiting = 0;

  // send(cells, base) -> Promise; base is the revision that stood there when they were typed
  constructor(state, send) {
    this.#state = state;
    this.#send = send;
  }

  // -> Promise of the row into which the first cell went
  type(cells, wasFree = false, base = this.#state.revision) {
    this.#waiting += 1;
    this.#state.wait(cells);
    const done = this.#last.then(async () => {
      this.#waiting -= 1;
      const placed = wasFree ? cells.map(([row, ...rest]) => [this.#place(row), ...rest]) : cells;
      await this.#send(placed, base);
      return placed[0]?.[0];
    });
    this.#last = done.catch(() => {}).then(() => this.#state.settled(cells));
    return done;
  }

  // What was typed behind something that is not acknowledged yet.
  get waiting() {
    return this.#waiting;
  }

  #place(row) {
    if (this.#line?.row !== row) this.#line = { row, went: this.#state.isFree(row) ? row : (this.#state.nextFree(row) ?? row) };
    return this.#line.went;
  }
}
