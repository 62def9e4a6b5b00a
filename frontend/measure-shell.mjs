/* The shell is what a phone fetches before the first screen: page, entry script, styles, fonts of
   the first language. It must stay under 120 kB compressed; this fails the build where it does not. */
import { readdirSync, readFileSync } from "node:fs";
import { brotliCompressSync } from "node:zlib";

const DIST = new URL("./dist/", import.meta.url);
const LIMIT_BYTES = 120_000;

const page = readFileSync(new URL("index.html", DIST), "utf8");
const named = [...page.matchAll(/(?:src|href)="\/(assets\/[^"]+)"/g)].map((match) => match[1]);
const fonts = readdirSync(new URL("assets/", DIST))
  .filter((name) => /latin-[57]00.*\.woff2$/.test(name))
  .map((name) => `assets/${name}`);
const files = ["index.html", ...new Set([...named, ...fonts])];

let total = 0;
for (const file of files) {
  const bytes = readFileSync(new URL(file, DIST));
  // A woff2 is compressed already and travels as it is.
  const sent = file.endsWith(".woff2") ? bytes.length : brotliCompressSync(bytes).length;
  total += sent;
  console.log(`${(sent / 1000).toFixed(1).padStart(7)} kB  ${file}`);
}
console.log(`${(total / 1000).toFixed(1).padStart(7)} kB  shell, of ${LIMIT_BYTES / 1000} kB`);
if (total > LIMIT_BYTES) {
  console.error("The shell is larger than 120 kB.");
  process.exit(1);
}
