// One of a few, side by side.

export function OneOf<T extends string>({
  legend,
  name,
  values,
  words,
  value,
  choose,
}: {
  legend: string;
  name: string;
  values: readonly T[];
  words: Readonly<Record<T, string>>;
  value: T;
  choose: (value: T) => void;
}) {
  return (
    <fieldset class="choices">
      <legend>{legend}</legend>
      {values.map((each) => (
        <label key={each}>
          <input type="radio" name={name} checked={value === each} onChange={() => choose(each)} />
          <span>{words[each]}</span>
        </label>
      ))}
    </fieldset>
  );
}
