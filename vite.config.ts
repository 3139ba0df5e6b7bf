import react from "@vitejs/plugin-react";
import { defineConfig } from "vite";

export default defineConfig({
  root: "app",
  base: "./",
  plugins: [react()],
  build: { outDir: "../dist/app", emptyOutDir: true, sourcemap: false, chunkSizeWarningLimit: 1500 },
});
