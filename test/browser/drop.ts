import type { Page } from 'playwright-core';
import { seededNormal } from '../../scripts/simulate/random.ts';

/** Drops files on the page, as from a folder. */
export async function drop(page: Page, files: readonly (readonly [string, string])[]): Promise<void> {
  await page.locator('.top').waitFor();
  const transfer = await page.evaluateHandle((list) => {
    const data = new DataTransfer();
    for (const [name, text] of list) data.items.add(new File([text], name, { type: 'text/csv' }));
    return data;
  }, files);
  await page.dispatchEvent('body', 'drop', { dataTransfer: transfer });
}

/** Drops one file of any bytes. */
export async function dropBytes(page: Page, name: string, bytes: Buffer): Promise<void> {
  const transfer = await page.evaluateHandle(
    ([called, text]) => {
      const data = new DataTransfer();
      data.items.add(new File([Uint8Array.from(atob(text), (one) => one.charCodeAt(0))], called));
      return data;
    },
    [name, bytes.toString('base64')] as const,
  );
  await page.dispatchEvent('body', 'drop', { dataTransfer: transfer });
}

/** Ten seconds at 200 Hz: still, then swings; the last column goes to 1 twice. */
export function smallLog(lastColumn = 'sw'): string {
  const header = `time_ms,ax_g,ay_g,az_g,gx_dps,gy_dps,gz_dps,${lastColumn}`;
  const rows = smallRows().map(({ t, force, rate }) => {
    const isDown = (t >= 4.5 && t < 4.6) || (t >= 9.2 && t < 9.3);
    return [Math.round(t * 1000), ...force, ...rate, isDown ? 1 : 0].join(',');
  });
  return `${[header, ...rows].join('\n')}\n`;
}

/** The same recording as two files. */
export function halves(): { readonly accel: string; readonly gyro: string } {
  const rows = smallRows();
  const file = (pick: 'force' | 'rate') =>
    `time,x,y,z\n${rows.map((row) => [row.t.toFixed(3), ...row[pick]].join(',')).join('\n')}\n`;
  return { accel: file('force'), gyro: file('rate') };
}

function smallRows(): { t: number; force: string[]; rate: string[] }[] {
  const noise = seededNormal(7);
  return Array.from({ length: 2000 }, (_, i) => {
    const t = i / 200;
    const swing = t > 3 && t < 8 ? 500 * Math.sin(2 * Math.PI * t) : 0;
    const force = [0, 0, 1].map((g) => (g + noise() * 0.005).toFixed(4));
    const rate = [0, swing, 0].map((dps) => (dps + noise() * 0.2).toFixed(2));
    return { t, force, rate };
  });
}
