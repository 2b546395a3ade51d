import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

interface SheetProps {
  readonly name: string;
  /** Beside the name: what is done with the thing as a whole. */
  readonly act?: ComponentChildren;
  readonly children: ComponentChildren;
}

/** One thing, open to be changed. */
export function Sheet({ name, act, children }: SheetProps) {
  const top = useRef<HTMLElement>(null);
  // The list that it was chosen from was longer: without this its middle would be in view.
  useEffect(() => top.current?.closest('.bench-page')?.scrollTo({ top: 0 }), []);
  return (
    <section ref={top} class="bench-look" aria-labelledby="bench-look">
      <header>
        <h1 id="bench-look" class="bench-title">
          {name}
        </h1>
        {act}
      </header>
      {children}
    </section>
  );
}
