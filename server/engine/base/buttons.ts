import type { Press } from './log.ts';

/** What a take's document says of its buttons. */
export interface TakeButtons {
  /** Of every button, in time order. */
  readonly presses: readonly Press[];
  /** The button that the guard judges; null where there is none. */
  readonly powerButton: string | null;
  /** The button that deflections may wait for, where somebody has said which; null: the log has none. */
  readonly deflectionButton?: string | null;
  readonly mapping?: {
    readonly columns?: readonly { readonly role: string; readonly name: string; readonly unit: string }[];
  };
}

/**
 * All buttons of a take: those that were pressed, and those that have a column of their own in which none was. A column of
 * events names its buttons in its cells alone.
 */
export function buttonsOf({ presses, mapping }: Pick<TakeButtons, 'presses' | 'mapping'>): readonly string[] {
  const pressed = [...new Set(presses.map(({ button }) => button))];
  const silent = (mapping?.columns ?? []).flatMap(({ role, name, unit }) =>
    role === 'button' && unit !== 'edge' && !pressed.some((button) => button.startsWith(name)) ? [name] : [],
  );
  return [...pressed, ...silent];
}

/** Presses of the button that the guard judges, in time order. */
export function powerPressesOf({
  presses,
  powerButton,
}: Pick<TakeButtons, 'presses' | 'powerButton'>): readonly Press[] {
  return presses.filter(({ button }) => button === powerButton);
}

/** The button that deflections may wait for: as somebody has said, else the likely one. */
export function deflectionButtonOf(take: TakeButtons): string | null {
  if (take.deflectionButton !== undefined) return take.deflectionButton;
  return likelyDeflectionButton(buttonsOf(take), take.powerButton);
}

/** Presses of that button, in time order; null where there is no such button: nobody knows then when it was held. */
export function deflectionPressesOf(take: TakeButtons): readonly Press[] | null {
  const name = deflectionButtonOf(take);
  return name === null ? null : take.presses.filter(({ button }) => button === name);
}

/** A button whose name says so, else the only one besides the power button; null where several could be it. */
export function likelyDeflectionButton(buttons: readonly string[], power: string | null): string | null {
  const others = buttons.filter((button) => button !== power);
  const named = others.find((button) => /deflect|block|parry/i.test(button));
  return named ?? (others.length === 1 ? others[0]! : null);
}
