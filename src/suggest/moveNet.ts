import { BODY_POINTS, type Body } from "./body.ts";
import { type Rgba, type Square, smallSquare } from "./pixels.ts";

/** A pose model's two files, as published. */
export interface ModelFiles {
  /** Its graph and list of weights, JSON. */
  readonly graph: string;
  readonly weights: ArrayBuffer;
}

/** What runs it: the few calls of TensorFlow.js that are needed, its WebAssembly backend made ready by the caller. */
export interface Tensors {
  tensor(values: Int32Array, shape: [number, number, number, number], type: "int32"): Tensor;
  loadGraphModel(from: { load(): Promise<unknown> }): Promise<Model>;
}

interface Tensor {
  dataSync(): ArrayLike<number>;
  dispose(): void;
}

interface Model {
  execute(input: Tensor): Tensor;
}

/** Sees the seventeen points of one body in a square of a picture. */
export type PoseModel = (picture: Rgba, frame: number, square: Square) => Body;

/**
 * MoveNet, single pose (Google, Apache-2.0; docs/suggested-marks.md says which files). WebAssembly's arithmetic is the same
 * on every machine, a graphics card's is not.
 *
 * @param size side of the square the model takes, px: 192 (Lightning), 256 (Thunder)
 */
export async function poseModel(tensors: Tensors, files: ModelFiles, size: 192 | 256): Promise<PoseModel> {
  const graph = JSON.parse(files.graph);
  const { modelTopology, weightsManifest, signature } = graph;
  const model = await tensors.loadGraphModel({
    load: async () => ({
      modelTopology,
      signature,
      weightSpecs: weightsManifest[0].weights,
      weightData: files.weights,
    }),
  });
  return (picture, frame, square) => {
    const input = tensors.tensor(smallSquare(picture, square, size), [1, size, size, 3], "int32");
    const output = model.execute(input);
    const values = output.dataSync();
    input.dispose();
    output.dispose();
    const points = BODY_POINTS.map((_, k) => ({
      x: square.x + (values[3 * k + 1]! - 0.5) * square.side,
      y: square.y + (values[3 * k]! - 0.5) * square.side,
      score: values[3 * k + 2]!,
    }));
    return { frame, points, square };
  };
}
