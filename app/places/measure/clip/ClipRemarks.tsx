import type { ClipIndex } from "../../../../src/study/exchange.ts";

/** Marks may sit on other frames than they were put on; left may be right. */
const LOUD: readonly string[] = ["renumbered", "mirrored"];
/** Said beside the ways to find the file again. */
const SAID_ELSEWHERE = "clip-missing";

/** What is odd about the clip, in full: the first remark always, the others on request. */
export function ClipRemarks({ warnings }: Pick<ClipIndex, "warnings">) {
  const loud = warnings.filter((w) => LOUD.includes(w.code));
  const [first, ...rest] = warnings.filter((w) => !LOUD.includes(w.code) && w.code !== SAID_ELSEWHERE);
  return (
    <>
      {loud.map((w) => (
        <p key={w.text} className="clip-remarks bad" role="alert">
          {w.text}
        </p>
      ))}
      {first && rest.length === 0 && <p className="clip-remarks care">{first.text}</p>}
      {first && rest.length > 0 && (
        <details className="clip-remarks care">
          <summary>
            {first.text} <u>And {rest.length} more</u>
          </summary>
          {rest.map((w) => (
            <p key={w.code + w.text}>{w.text}</p>
          ))}
        </details>
      )}
    </>
  );
}
