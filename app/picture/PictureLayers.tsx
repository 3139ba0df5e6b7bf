import type Konva from "konva";
import type { ReactNode, RefObject } from "react";
import { Group, Image as KonvaImage, Layer, Stage } from "react-konva";
import type { ShownFrame } from "./useFrames.ts";
import type { Size, View } from "./view.ts";

interface Props {
  readonly stage: Size;
  readonly picture: Size;
  readonly view: View;
  readonly shown: ShownFrame | null;
  /** The frame's own layer, drawn at once by whoever holds it. */
  readonly layer: RefObject<Konva.Layer | null>;
  /** Between the frame and the marks. */
  readonly overlay: ReactNode;
  /** The marks. */
  readonly children: ReactNode;
}

/** The frame, what is drawn over it, and the marks, one above the other. */
export function PictureLayers({ stage, picture, view, shown, layer, overlay, children }: Props) {
  const place = { x: view.x, y: view.y, scaleX: view.scale, scaleY: view.scale };
  return (
    <Stage width={stage.width} height={stage.height} listening={false}>
      <Layer ref={layer} listening={false} imageSmoothingEnabled={view.scale < 3}>
        <Group {...place}>
          {shown && (
            <KonvaImage
              image={shown.bitmap}
              x={-0.5}
              y={-0.5}
              width={picture.width}
              height={picture.height}
            />
          )}
        </Group>
      </Layer>
      <Layer listening={false}>
        <Group {...place}>{overlay}</Group>
      </Layer>
      <Layer listening={false}>
        <Group {...place}>{children}</Group>
      </Layer>
    </Stage>
  );
}
