// Reads binary STL with an independent solid library and says whether it is a valid solid:
//   node manifold.mjs LIBRARY_FOLDER FILE.stl
// prints one JSON object: status, genus, volume_mm3, parts.
//   node manifold.mjs LIBRARY_FOLDER FILE.stl FILE.stl...
// prints the names, without .stl, of those that are closed, oriented surfaces.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
import path from "node:path";

const [, , library, ...files] = process.argv;
const { default: start } = await import(pathToFileURL(path.join(library, "manifold.js")));
const wasm = await start();
wasm.setup();

// Corners are joined only where they are the same to the last bit. Throws where the mesh is not a closed, oriented surface.
function solidOf(file) {
  const bytes = readFileSync(file);
  const count = bytes.readUInt32LE(80);
  if (bytes.length !== 84 + 50 * count) throw new Error(`${file}: ${bytes.length} bytes for ${count} triangles`);
  const numbers = new Map();
  const points = [];
  const triVerts = new Uint32Array(3 * count);
  for (let i = 0; i < 3 * count; i++) {
    const at = 84 + 50 * Math.floor(i / 3) + 12 + 12 * (i % 3);
    const p = [0, 4, 8].map((o) => bytes.readFloatLE(at + o) + 0);
    const key = p.join(" ");
    if (!numbers.has(key)) {
      numbers.set(key, numbers.size);
      points.push(...p);
    }
    triVerts[i] = numbers.get(key);
  }
  return new wasm.Manifold(new wasm.Mesh({ numProp: 3, vertProperties: new Float32Array(points), triVerts }));
}

if (files.length > 1) {
  for (const file of files) {
    try {
      const solid = solidOf(file);
      if (solid.status() === "NoError") console.log(path.basename(file, ".stl"));
      solid.delete();
    } catch {
      // no such surface
    }
  }
} else {
  const solid = solidOf(files[0]);
  console.log(JSON.stringify({
    status: solid.status(),
    genus: solid.genus(),
    volume_mm3: solid.volume(),
    parts: solid.decompose().length,
  }));
}
