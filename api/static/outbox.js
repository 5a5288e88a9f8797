// What was entered, kept on this phone until the server has acknowledged it.
// Where the phone refuses to keep anything, it is held in memory and the page
// says so.

const names = ["records", "notes"];

function promise(request) {
  return new Promise((done, fail) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });
}

function openBase() {
  const request = indexedDB.open("rootcue-entry", 1);
  request.onupgradeneeded = () => {
    request.result.createObjectStore("records", { keyPath: "id" });
    request.result.createObjectStore("notes", { keyPath: "id" });
  };
  return promise(request);
}

export class Outbox {
  #base = null;
  #held = { records: new Map(), notes: new Map() }; // all of it, in memory too
  kept = true; // everything so far is on the phone and not in memory alone

  static async open() {
    const box = new Outbox();
    try {
      box.#base = await openBase();
      for (const name of names) {
        for (const item of await promise(box.#base.transaction(name).objectStore(name).getAll())) box.#held[name].set(item.id, item);
      }
    } catch (e) {
      console.info("no storage:", e);
      box.#base = null;
      box.kept = false;
    }
    return box;
  }

  async #write(name, work) {
    if (!this.#base) return false;
    try {
      const t = this.#base.transaction(name, "readwrite", { durability: "strict" });
      const ended = new Promise((done, fail) => { t.oncomplete = done; t.onerror = t.onabort = () => fail(t.error); });
      work(t.objectStore(name));
      await ended;
      return true;
    } catch (e) {
      console.info("not kept:", e); // full, or taken away
      return this.kept = false;
    }
  }

  // put keeps a record; when it returns, it is on the phone or kept is false.
  // What the phone had no room for before is put there too.
  async put(record) {
    this.#held.records.set(record.id, record);
    const all = this.kept ? [record] : this.records();
    if (await this.#write("records", (s) => all.forEach((r) => s.put(r)))) this.kept = true;
  }

  async remove(id) {
    this.#held.records.delete(id);
    await this.#write("records", (s) => s.delete(id));
    if (this.records().every((r) => r.state === "sent") && this.#base) this.kept = true;
  }

  // records are all, oldest first.
  records() { return [...this.#held.records.values()].sort((a, b) => a.at - b.at); }

  note(id) { return this.#held.notes.get(id)?.value; }

  async setNote(id, value) {
    this.#held.notes.set(id, { id, value });
    await this.#write("notes", (s) => s.put({ id, value }));
  }
}
