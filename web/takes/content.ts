import { contentTexts, type TakeContent } from '../../server/engine/kept/takeContent.ts';
import type { Labels } from '../../server/engine/labels/labels.ts';
import type { TakeDocument } from '../../server/http/schemas.ts';

const contents = new WeakMap<TakeDocument, WeakMap<Labels, Promise<TakeContent>>>();

/** Names a document as the server's list does. @param labels  those that go with it, where they are not its own. */
export function contentOf(document: TakeDocument, labels = document.labels): Promise<TakeContent> {
  const byLabels = contents.get(document) ?? new WeakMap<Labels, Promise<TakeContent>>();
  contents.set(document, byLabels);
  const content = byLabels.get(labels) ?? hashed(document, labels);
  byLabels.set(labels, content);
  return content;
}

async function hashed(document: TakeDocument, labels: Labels): Promise<TakeContent> {
  const texts = contentTexts(document, labels);
  return { signals: await sha256(texts.signals), labels: await sha256(texts.labels) };
}

/** Lower-case hex. */
export async function sha256(text: string): Promise<string> {
  const digest = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(text));
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
