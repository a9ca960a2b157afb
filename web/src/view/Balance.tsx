// How well a face is balanced, with the places where that is lost shown over its picture; and better faces, looked
// for, looked at and taken.

import { useSignal } from "@preact/signals";
import { useEffect, useMemo, useRef } from "preact/hooks";

import type { FaceCard, LostPlace, MeasureRow } from "../protocol/generated";
import { withPhotos } from "../state/photos";
import { text } from "../text";
import { useApp } from "./app-context";
import type { FaceLook } from "./FacePicture";
import { showLost } from "./lost-places";
import { asPicture } from "./small-picture";

/** `of`: what it is a side of, as its picture is asked for. */
export function Balance({ of, title, look }: { of: string; title: string; look: FaceLook }) {
  const { faces, settingOut } = useApp();
  const face = `${of} ${look.back.value ? "back" : "front"}`;
  const balance = faces.balance(face, look.stands.value);
  const section = useRef<HTMLElement>(null);
  const picture = (): Element | null => section.current?.parentElement?.querySelector("[data-face]") ?? null;
  if (balance === null) return null;
  const running = faces.running.value === face;
  const seen = faces.seen.value?.key === face ? faces.seen.value : null;
  const may = balance.cannot_look === null;

  function begin(): void {
    if (settingOut.running.value) settingOut.stop();
    faces.ask(face);
  }

  return (
    <section class="balance" ref={section} aria-label={text.figure.name(title)}>
      <h4>{text.figure.heading}</h4>
      {balance.notes.map((note) => (
        <p class="hint" key={note}>
          {note}.
        </p>
      ))}
      <Measures rows={balance.measures} picture={picture} explained />
      <div class="row-buttons">
        {running ? (
          <button type="button" class="button" onClick={faces.stop}>
            {text.figure.stop}
          </button>
        ) : (
          <button type="button" class="button" aria-disabled={!may} onClick={() => may && begin()}>
            {seen === null ? text.figure.look : text.figure.lookMore}
          </button>
        )}
      </div>
      {balance.cannot_look !== null && <p class="hint">{balance.cannot_look}.</p>}
      {seen !== null && (
        <>
          {running && <progress max={1} value={seen.found.share} aria-label={text.figure.look} />}
          <p class="hint" aria-live="off">
            {seen.changed ? text.figure.changed : `${seen.found.sentence}.`}
          </p>
          {!seen.changed &&
            seen.found.contradictions.map((line) => (
              <p class="hint" key={line}>
                {line}
              </p>
            ))}
          {!seen.changed && (
            <ol class="face-cards">
              {seen.found.cards.map((card, at) => (
                <li key={card.index}>
                  <Card card={card} face={face} number={at + 1} />
                </li>
              ))}
            </ol>
          )}
        </>
      )}
    </section>
  );
}

/** A bar and a number for each measure; whoever points at one, reaches or taps it sees where it is lost. */
function Measures({ rows, picture, explained = false }: { rows: readonly MeasureRow[]; picture: () => Element | null; explained?: boolean }) {
  const kept = useSignal<string | null>(null);
  const clear = useRef<(() => void) | null>(null);
  const show = (places: readonly LostPlace[]): void => {
    clear.current?.();
    clear.current = showLost(picture(), places);
  };
  const back = (): void => show(rows.find((row) => row.name === kept.value)?.lost ?? []);
  // The picture may be another one after every change.
  useEffect(() => {
    back();
    return () => clear.current?.();
  }, [rows]);
  const known = rows.filter((row) => row.value !== null);
  const unknown = rows.filter((row) => row.value === null);
  if (rows.length === 0) return null;
  return (
    <>
    <ul class="measures">
      {known.map((row) => (
        <li key={row.name}>
          <button
            type="button"
            class="measure"
            aria-pressed={kept.value === row.name}
            onPointerEnter={(event) => event.pointerType === "mouse" && show(row.lost)}
            onPointerLeave={(event) => event.pointerType === "mouse" && back()}
            onFocus={() => show(row.lost)}
            onBlur={back}
            onClick={() => {
              kept.value = kept.value === row.name ? null : row.name;
              back();
            }}
          >
            <span class="measure-words">
              <span>{row.name}</span> <b>{row.text}</b>
            </span>
            {row.value !== null && (
              <span class="measure-bar" aria-hidden="true">
                <i style={{ width: `${(100 * row.value).toFixed(0)}%` }} />
              </span>
            )}
            {row.lost_at !== "" && (
              <small>
                {text.figure.where} {row.lost_at}
              </small>
            )}
          </button>
        </li>
      ))}
    </ul>
      {explained && (
        <details>
          <summary>{text.figureShown.what}</summary>
          <p class="hint">{text.figureShown.sources}</p>
        </details>
      )}
      {unknown.length > 0 && <p class="hint">{text.figure.unknown(unknown.map((row) => row.name))}</p>}
    </>
  );
}

function Card({ card, face, number }: { card: FaceCard; face: string; number: number }) {
  const { faces, photos } = useApp();
  const pictured = useRef<HTMLDivElement>(null);
  const isOpen = useSignal(false);
  const pictures = useMemo(() => faces.pictures(card.index), [card.index, face]);
  const drawn = useMemo(() => withPhotos(pictures?.face ?? "", photos.address), [pictures]);
  const boards = pictures?.boards ?? "";
  return (
    <section class="face-card" aria-label={text.figure.card(number)}>
      <h5>{text.figure.card(number)}</h5>
      {/* The core draws it; all text in it is escaped there. */}
      <div class="face-drawn" ref={pictured} dangerouslySetInnerHTML={{ __html: drawn }} />
      <p>
        <b>{card.cost}.</b> {card.lies}.
      </p>
      {card.cut_away.map((line) => (
        <p class="hint" key={line}>
          {line}.
        </p>
      ))}
      <Measures rows={card.measures} picture={() => pictured.current} />
      {boards !== "" && (
        <details onToggle={(event) => (isOpen.value = event.currentTarget.open)}>
          <summary>{text.figure.boards}</summary>
          {isOpen.value && <img alt={text.figure.boardsOf(number)} src={asPicture(withPhotos(boards, () => null))} />}
        </details>
      )}
      <div class="row-buttons">
        <button type="button" class="button primary" aria-label={text.figure.takeIt(number)} onClick={() => faces.take(card.index)}>
          {text.figure.take}
        </button>
        <button
          type="button"
          class="button quiet"
          aria-label={text.figure.likeIt(number)}
          onClick={() => faces.ask(face, card.index)}
        >
          {text.figure.like}
        </button>
      </div>
    </section>
  );
}
