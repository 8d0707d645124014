import type { ComponentChildren } from 'preact';

/** A mark as a legend shows it, drawn about the origin; the words beside it say what it means. */
export function KeyMark(props: {
  readonly width: number;
  readonly height: number;
  readonly children: ComponentChildren;
}) {
  const { width, height } = props;
  return (
    <svg
      width={width}
      height={height}
      viewBox={`${-width / 2} ${-height / 2} ${width} ${height}`}
      aria-hidden="true"
    >
      {props.children}
    </svg>
  );
}
