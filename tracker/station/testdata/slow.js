// A photograph that does not get through until somebody lets it, and what comes after it.
const setTimeout = (f, ms) => globalThis.setTimeout(f, ms / 1000);

async function slow() {
  let through;
  const sent = [], gate = new Promise((resolve) => { through = resolve; });
  const clock = { stamp: () => ({ at: 1, count: 1, epoch: "a-0" }), fresh: async () => {}, known: () => [] };
  const post = async (entry, photo) => {
    sent.push(entry.line ?? entry.kind);
    if (photo) await gate;
    return { status: 200, body: { id: entry.id, state: "good" } };
  };
  const queue = makeQueue({ keep: memoryKeep(), clock, post, count: () => performance.now() });
  const pause = () => new Promise((resolve) => setTimeout(resolve, 100_000));
  const photo = await queue.add({ kind: "photo" }, new Blob(["picture"]));
  for (const entry of [{ line: "1" }, { kind: "undo", of: photo.id }, { line: "2" }]) await queue.add(entry);
  await pause();
  const passed = [...sent];
  through();
  await pause();
  return { passed, all: sent };
}
