import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";

const beside = (path: string) => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  // one style for page and paper: the sheet's own, read from where the sheet has it
  resolve: { alias: { "@sheet": beside("../mouldgen/sheet/templates") } },
  build: {
    outDir: beside("../mouldgen/page/static"),
    emptyOutDir: true,
    target: "es2022",
    // the polyfill would be an inline script, which the page's policy refuses
    modulePreload: { polyfill: false },
    // nothing becomes a data: address but what the sheet itself draws
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 900,
    license: { fileName: "licenses.md" },
  },
});
