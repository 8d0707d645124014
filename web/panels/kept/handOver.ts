import type { Mount } from '../../../server/engine/base/mount.ts';
import { fileNameOf } from '../../../server/engine/export/fileName.ts';
import { handOverHeading } from '../../../server/engine/export/heading.ts';
import { plainText } from '../../../server/engine/export/plainText.ts';
import { sheetHtml } from '../../../server/engine/export/sheet/html.ts';
import { sheetMarkdown } from '../../../server/engine/export/sheet/markdown.ts';
import { sheetOf } from '../../../server/engine/export/sheet/sheet.ts';
import { fillTemplate } from '../../../server/engine/export/template.ts';
import { templateValues } from '../../../server/engine/export/values.ts';
import { formatKeptFile } from '../../../server/engine/kept/keptFile.ts';
import type { KeptSetting } from '../../../server/engine/kept/keptSetting.ts';
import type { Change } from '../../../server/engine/kept/stale.ts';
import { generateC99, generateHeader, type TextFile } from '../../../server/engine/prop/c99/generate.ts';
import { chooseFile } from '../../state/chooseFiles.ts';
import { messageOf, notify } from '../../state/notices.ts';
import { saveFile } from '../../state/saveFile.ts';
import type { HandOverKind } from './handOverKinds.ts';

/** Figures of the prop itself, which no setting holds. */
export interface PropFigures {
  readonly rateHz: number;
  readonly leverArmM: number;
  readonly accelScale: number;
  readonly mount: Mount;
}

/**
 * Saves the files of one kind.
 * @param changes  since the setting was judged: the files tell of them.
 * @returns the names of what was saved; none where the user is still to choose a file.
 */
export async function handOver(
  setting: KeptSetting,
  kind: HandOverKind,
  prop: PropFigures,
  changes: readonly Change[],
): Promise<readonly string[]> {
  const { name, candidate } = setting;
  const { rateHz, ...calibration } = prop;
  const build = { candidate, calibration, rateHz };
  const heading = handOverHeading(name, setting, changes);
  switch (kind) {
    case 'json':
      return save([{ name: `${fileNameOf(name)}.json`, text: formatKeptFile(setting) }]);
    case 'text':
      return save([{ name: `${fileNameOf(name)}.txt`, text: plainText(build, heading) }]);
    case 'sheet': {
      const sheet = sheetOf(setting, changes);
      return save([
        { name: `${fileNameOf(name)}.html`, text: sheetHtml(sheet) },
        { name: `${fileNameOf(name)}.md`, text: sheetMarkdown(sheet) },
      ]);
    }
    case 'header':
      return save([generateHeader(build, heading)]);
    case 'c99':
      return save(generateC99(build, heading));
    case 'template':
      chooseFile('', async (file) => {
        try {
          const text = fillTemplate(await file.text(), templateValues(build, name), rateHz);
          save([{ name: file.name, text }]);
        } catch (error) {
          notify('error', `${file.name}: ${messageOf(error)}`);
        }
      });
      return [];
  }
}

function save(files: readonly TextFile[]): readonly string[] {
  for (const { name, text } of files) saveFile(name, text, 'text/plain');
  return files.map(({ name }) => name);
}
