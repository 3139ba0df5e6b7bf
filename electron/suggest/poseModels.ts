import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { type ModelFiles, type PoseModel, poseModel, type Tensors } from "../../src/suggest/moveNet.ts";
import { packageRoot } from "../packageRoot.ts";

/** SHA-256 of the two files of each model, as docs/suggested-marks.md names them. */
export const MODELS = {
  lightning: {
    size: 192,
    graph: "df8cbde44d00f533ccc4916a7c6ebc17316532fb3fadad114ec667fef22872e9",
    weights: "bf97bc10d9c8a11200b0190ed64ce039b6252f1aff7cb552aca99b3d191c2f34",
  },
  thunder: {
    size: 256,
    graph: "7ac4e2a8449fc279f71b8b0ba52f7c5daafc124ce9b6bf7549289ca432e342b6",
    weights: "a2925747fccaf737c0f20eacdeff919efd5d514e90242397002a0de349dff18c",
  },
} as const;

export interface PoseModels {
  /** For every frame. */
  readonly quick: PoseModel;
  /** For frames of events. */
  readonly close: PoseModel;
}

/** Loaded when first needed: nothing else of the program waits for them. */
export async function poseModels(): Promise<PoseModels> {
  const [{ setBackend, ready, tensor }, { loadGraphModel }] = await Promise.all([
    import("@tensorflow/tfjs-core"),
    import("@tensorflow/tfjs-converter"),
    import("@tensorflow/tfjs-backend-wasm"),
  ]);
  await setBackend("wasm");
  await ready();
  const tensors = { tensor, loadGraphModel } as unknown as Tensors;
  const load = async (name: keyof typeof MODELS) =>
    poseModel(tensors, await modelFiles(name), MODELS[name].size);
  return { quick: await load("lightning"), close: await load("thunder") };
}

/** Where the models come with the program. */
const SHIPPED = () => join(packageRoot(), "electron", "suggest", "models");

/** @throws {MeasureError} `model-missing`, `model-changed` where a file is not what was published */
export async function modelFiles(name: keyof typeof MODELS, folder = SHIPPED()): Promise<ModelFiles> {
  const read = async (kind: "graph" | "weights", ending: string) => {
    const file = join(folder, `movenet-${name}.${ending}`);
    const content = await readFile(file).catch((error: unknown) => {
      throw new MeasureError(
        "model-missing",
        `${file} can't be read: ${error}`,
        "A file of the pose model is missing, so no marks are suggested. Install Blademark anew, or mark by hand.",
      );
    });
    if (createHash("sha256").update(content).digest("hex") !== MODELS[name][kind])
      throw new MeasureError(
        "model-changed",
        `${file} is not the published file`,
        "A file of the pose model was changed, so no marks are suggested. Install Blademark anew, or mark by hand.",
      );
    return content;
  };
  const [graph, weights] = [await read("graph", "json"), await read("weights", "bin")];
  return {
    graph: graph.toString("utf8"),
    weights: weights.buffer.slice(weights.byteOffset, weights.byteOffset + weights.byteLength) as ArrayBuffer,
  };
}
