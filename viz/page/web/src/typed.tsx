// A field that is typed into: what stands in it stays while answers come in, and is given on when it is left.
import { useEffect, useState } from "preact/hooks";
import type { JSX } from "preact";

type Props = Omit<JSX.InputHTMLAttributes<HTMLInputElement>, "value" | "onChange" | "onInput"> & {
  value: string | number;
  put: (text: string) => void;
};

export function Typed({ value, put, ...rest }: Props): JSX.Element {
  const [draft, setDraft] = useState<string | null>(null);
  useEffect(() => setDraft(null), [value]);
  return (
    <input
      {...rest} value={draft ?? value} onInput={(e) => setDraft(e.currentTarget.value)}
      onChange={(e) => {
        put(e.currentTarget.value);
        setDraft(null);
      }}
    />
  );
}
