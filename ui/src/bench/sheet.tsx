import type { ComponentChildren } from 'preact';

interface SheetProps {
  readonly name: string;
  /** Beside the name: what is done with the thing as a whole. */
  readonly act?: ComponentChildren;
  readonly children: ComponentChildren;
}

/** One thing, open to be changed. */
export function Sheet({ name, act, children }: SheetProps) {
  return (
    <section class="bench-look" aria-labelledby="bench-look">
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
