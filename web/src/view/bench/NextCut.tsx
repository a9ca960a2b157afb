// The cut that is next, to be read at two metres from a phone propped on the saw: its line, its
// piece alone as it lies at the machine, what it gives, what to take care of, and one button.

import { useMemo } from "preact/hooks";

import type { BenchStep, StepPicture } from "../../protocol/generated";
import { text } from "../../text";
import { ActionButton } from "../ActionButton";
import { useApp } from "../app-context";

export function NextCut({ step }: { step: BenchStep }) {
  const { desk, floor } = useApp();
  const { units, revision } = desk.state.value;
  const picture = useMemo(() => desk.ask((session) => session.step_picture(step.tick)), [step.tick, units, revision]);
  const shown = desk.shownCut.value === step.tick;
  return (
    <section class="next-cut" aria-label={text.bench.next}>
      <h2>
        <span class="cut-number">{step.number}</span> <Figures line={step.brief} />
      </h2>
      {step.grave.length > 0 && <p class="grave">{step.grave.join(", ")}</p>}
      <div class="next-cut-go">
        {picture !== null && picture.svg !== "" && (
          <div class="at-machine">
            <svg class="hs" viewBox={viewBox(picture)} aria-hidden="true" focusable="false" dangerouslySetInnerHTML={{ __html: picture.svg }} />
            {/* Over the picture and not round it: the figures in it are no name. */}
            <button
              type="button"
              aria-pressed={shown}
              aria-label={text.bench.onBoard}
              onClick={() => {
                desk.showCut(shown ? null : step.tick);
                if (!shown) floor.reveal("chosen-cut");
              }}
            />
          </div>
        )}
        {/* A key that is held does not saw the whole list. */}
        <div onKeyDown={(event) => event.repeat && event.key === "Enter" && event.preventDefault()}>
          <ActionButton id="cut-done" class="primary wide cut-button" shown={text.shown.cut} />
        </div>
      </div>
      {step.gives !== "" && <p class="next-gives">{text.bench.gives(step.gives)}</p>}
      {picture !== null && picture.description !== "" && <p class="next-lies narrow-hidden-text">{picture.description}</p>}
      {[...step.marks, ...(step.look === null ? [] : [step.look])].map((line) => (
        <p key={line} class="next-then">
          {line}
        </p>
      ))}
      {step.cautions.length > 0 && (
        <details class="all-cautions">
          <summary>
            <b>{text.bench.care}:</b> {[...step.grave, ...step.care].join(", ")}
          </summary>
          {step.cautions.map((caution) => (
            <p key={caution}>{caution}</p>
          ))}
        </details>
      )}
    </section>
  );
}

const viewBox = ({ bounds }: StepPicture): string =>
  `${bounds.x} ${bounds.y} ${Math.max(bounds.width, 1)} ${Math.max(bounds.height, 1)}`;

/** A line with its figures standing out: they are what is set. */
function Figures({ line }: { line: string }) {
  // Not those that are part of a name, as in C3.
  const words = line.split(/((?<![\p{L}\d])\d[\d.,/⁄ ]*(?:["″′]|mm\b|cm\b|m\b)?)/u);
  return (
    <>
      {words.map((word, at) =>
        at % 2 === 1 ? (
          <b key={at} class="figure">
            {word}
          </b>
        ) : (
          <span key={at}>{word}</span>
        ),
      )}
    </>
  );
}
