// Packages that the build leaves outside: they carry programs of their own or are there only sometimes. All else is
// bundled: it starts faster. electron-builder.yml names them, and what they need, once more.
export const OUTSIDE = [
  "electron",
  "ffmpeg-static",
  "fluent-ffmpeg",
  "@ffmpeg-installer/ffmpeg",
  "@napi-rs/canvas",
  "@tensorflow/tfjs-core",
  "@tensorflow/tfjs-converter",
  "@tensorflow/tfjs-backend-wasm",
];
