// The worker: runs the bench, and hands it what is asked. The lines of the Go distribution that lead a binary stand before this.

async function begin({ binary, journals }) {
  globalThis.journals = JSON.stringify(journals);
  const letters = atob(binary);
  const packed = new Uint8Array(letters.length);
  for (let i = 0; i < packed.length; i++) packed[i] = letters.charCodeAt(i);
  const unpacked = new Blob([packed]).stream().pipeThrough(new DecompressionStream('gzip'));
  const go = new Go();
  const { instance } = await WebAssembly.instantiateStreaming(new Response(unpacked, { headers: { 'Content-Type': 'application/wasm' } }), go.importObject);
  await new Promise((ready) => {
    globalThis.ready = ready;
    go.run(instance).finally(() => postMessage({ lost: true }));
  });
  postMessage({ ready: true });
}

globalThis.kept = (journal, text) => postMessage({ journal, text });
globalThis.answered = (n, status, own, body) => postMessage({ n, status, own, body }, [body.buffer]);

let begun = null;
onmessage = async ({ data }) => {
  if (!begun) {
    begun = begin(data).catch(() => postMessage({ lost: true }));
    return;
  }
  await begun;
  ask(data.n, data.method, data.path, data.query, new Uint8Array(data.body));
};
