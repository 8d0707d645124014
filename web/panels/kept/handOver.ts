import type { Mount } from '../../../server/engine/base/mount.ts';
import { fileNameOf } from '../../../server/engine/export/fileName.ts';
import { plainText } from '../../../server/engine/export/plainText.ts';
import { sheetHtml } from '../../../server/engine/export/sheet/html.ts';
import { sheetMarkdown } from '../../../server/engine/export/sheet/markdown.ts';
import { sheetOf } from '../../../server/engine/export/sheet/sheet.ts';
import { fillTemplate } from '../../../server/engine/export/template.ts';
import { templateValues } from '../../../server/engine/export/values.ts';
import { formatKeptFile } from '../../../server/engine/kept/keptFile.ts';
import type { KeptSetting } from '../../../server/engine/kept/keptSetting.ts';
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

/** Saves the files of one kind. */
export async function handOver(setting: KeptSetting, kind: HandOverKind, prop: PropFigures): Promise<void> {
  const { name, candidate } = setting;
  const { rateHz, ...calibration } = prop;
  const build = { candidate, calibration, rateHz };
  const heading = [
    `Setting: ${name}`,
    `Kept ${setting.keptAt.slice(0, 10)}. Written by Moulinet. A guard is a convenience, no safety device.`,
  ];
  switch (kind) {
    case 'json':
      return save([{ name: `${fileNameOf(name)}.json`, text: formatKeptFile(setting) }]);
    case 'text':
      return save([{ name: `${fileNameOf(name)}.txt`, text: plainText(build, heading) }]);
    case 'sheet': {
      const sheet = sheetOf(setting);
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
      return chooseFile('', async (file) => {
        try {
          const text = fillTemplate(await file.text(), templateValues(build, name), rateHz);
          save([{ name: file.name, text }]);
        } catch (error) {
          notify('error', `${file.name}: ${messageOf(error)}`);
        }
      });
  }
}

function save(files: readonly TextFile[]): void {
  for (const { name, text } of files) saveFile(name, text, 'text/plain');
}
