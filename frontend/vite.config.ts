import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vitest/config";

const server = process.env["INSPECT_SERVER"] ?? "http://127.0.0.1:8000";

export default defineConfig({
  plugins: [svelte()],
  // The page's policy allows scripts and styles of this origin only, so nothing is inlined.
  worker: { format: "es" },
  build: { target: "es2022", assetsInlineLimit: 0, modulePreload: { polyfill: false } },
  // The drawings live beside the engine: app and report show the same ones.
  server: { proxy: { "/api": server }, fs: { allow: [".", "../inspect_app/drawings"] } },
  test: {
    // The library knows no page; only what draws needs one, and a page costs seconds to start.
    projects: [
      {
        extends: true,
        test: {
          name: "lib",
          environment: "node",
          include: ["src/lib/**/*.test.ts"],
          setupFiles: ["fake-indexeddb/auto"],
        },
      },
      {
        extends: true,
        // Else the tests would get the half of Svelte that has no page.
        resolve: { conditions: ["browser"] },
        test: {
          name: "screens",
          environment: "jsdom",
          include: ["src/{pictures,screens,components}/**/*.test.ts"],
        },
      },
    ],
  },
});
