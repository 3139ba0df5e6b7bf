import { join } from "node:path";
import react from "@vitejs/plugin-react";
import { defineConfig } from "vite";

export default defineConfig({
  root: "app",
  base: "./",
  plugins: [react()],
  resolve: { alias: { "@stdlib/assert-has-generator-support": join(import.meta.dirname, "app/noEval.cjs") } },
  build: { outDir: "../dist/app", emptyOutDir: true, sourcemap: false, chunkSizeWarningLimit: 1500 },
});
