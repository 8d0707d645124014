import { execFileSync } from 'node:child_process';
import { mkdirSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { findCompiler } from '../../scripts/findCompiler.mjs';
import { run } from '../../server/cli/export.ts';
import { formatKeptFile } from '../../server/engine/kept/keptFile.ts';
import { settingSchema } from '../../server/engine/kept/schema.ts';
import { formatCandidateFile, parseCandidateFile } from '../../server/engine/settings/candidateFile.ts';
import { DEFAULT_CANDIDATE, withField } from '../../server/engine/settings/candidateRules.ts';
import { readSettingFile } from '../../server/store/settingFile.ts';
import { madeSetting } from '../engine/kept/madeSetting.ts';
import { makeFolder, runCli } from './runCli.ts';

const folder = makeFolder();
afterAll(folder.remove);
const setting = withField(withField(DEFAULT_CANDIDATE, 'guard.speedDps', 100), 'guard.holdMs', 240);
const settingFile = folder.write('lead.json', formatCandidateFile(setting));
const out = folder.path;
const textOf = (...parts: string[]) => readFileSync(join(folder.path(parts[0]!), ...parts.slice(1)), 'utf8');

/** Invented for this test: no device reads it. */
const TEMPLATE = `# lantern {{setting.name}}
[swing gate]
close-above = {{guard.speedDps in rad/s to 3 decimals}}
stay-ticks  = {{guard.holdMs in samples}}
plain       = \\{{kept}}
`;

describe('export', () => {
  test('as a file, it opens again as the same setting', async () => {
    const { code } = await runCli(
      run,
      '--as',
      'json',
      '--setting',
      settingFile,
      '--name',
      'Lead spinner',
      '--out',
      out('json'),
    );
    expect(code).toBe(0);
    expect(parseCandidateFile(textOf('json', 'Lead spinner.json'))).toEqual(setting);
  });

  test('a kept setting brings its name, and as a file all that it was kept with', async () => {
    const kept = { ...madeSetting(), name: 'Élan: 1/2 "gala" */ x' };
    const file = folder.write('kept.json', formatKeptFile(kept));
    for (const as of ['json', 'text', 'header'])
      await runCli(run, '--as', as, '--setting', file, '--out', out('kept'));
    expect(readdirSync(out('kept')).sort()).toEqual(
      ['prop_setting.h', 'Élan- 1-2 -gala- - x.json', 'Élan- 1-2 -gala- - x.txt'].sort(),
    );
    expect(readSettingFile(textOf('kept', 'Élan- 1-2 -gala- - x.json'))).toEqual(kept);
    expect(textOf('kept', 'Élan- 1-2 -gala- - x.txt')).toContain('Setting: Élan: 1/2 "gala" */ x\n');
    expect(textOf('kept', 'prop_setting.h')).toContain('Setting: Élan: 1/2 "gala" * / x\n');
    await runCli(run, '--as', 'json', '--setting', file, '--name', 'Gala', '--out', out('kept'));
    expect(readSettingFile(textOf('kept', 'Gala.json'))).toEqual({ ...kept, name: 'Gala' });
  });

  test('a kept setting that cannot be used is refused with its place', async () => {
    const broken = { ...JSON.parse(formatKeptFile(madeSetting())), keptAt: 'today' };
    const file = folder.write('broken.json', JSON.stringify(broken));
    const { code, err: stderr } = await runCli(run, '--as', 'text', '--setting', file, '--out', out('none'));
    expect(code).toBe(1);
    expect(stderr).toContain(
      'broken.json: keptAt: must be a moment such as 2026-05-01T18:30:00Z, got "today"',
    );
  });

  test('a sheet is one HTML file and Markdown, with the evidence of a kept setting', async () => {
    const file = folder.write('spring.json', formatKeptFile(madeSetting()));
    await runCli(run, '--as', 'sheet', '--setting', file, '--out', out('sheet'));
    for (const ending of ['html', 'md']) {
      const text = textOf('sheet', `Lead spinner, spring.${ending}`.replace(',', '-'));
      expect(text).toContain('Lead spinner, spring');
      expect(text).toContain('routine-2026-04-18.csv');
    }
  });

  test('a sheet of a candidate alone says that it was not judged', async () => {
    await runCli(run, '--as', 'sheet', '--setting', settingFile, '--name', 'Bare', '--out', out('sheet'));
    for (const name of ['Bare.html', 'Bare.md'])
      expect(textOf('sheet', name)).toContain('Not judged on any take');
  });

  test('the schema of such a file is written without a setting', async () => {
    await runCli(run, '--as', 'schema', '--out', out('schema'));
    expect(JSON.parse(textOf('schema', 'setting.schema.json'))).toEqual(settingSchema());
  });

  test('without a setting it is the default one', async () => {
    await runCli(run, '--as', 'json', '--out', out('default'));
    expect(parseCandidateFile(textOf('default', 'setting.json'))).toEqual(DEFAULT_CANDIDATE);
  });

  test('as text, every setting has a line with its value and its unit', async () => {
    await runCli(run, '--as', 'text', '--setting', settingFile, '--out', out('text'), '--rate', '208');
    const text = textOf('text', 'setting.txt');
    expect(text).toContain('Guard closes at a swing speed of: 100 °/s   (guard.speedDps)');
    expect(text).toContain('Guard stays closed afterwards for: 240 ms   (guard.holdMs)');
    expect(text).toContain('Samples a second: 208');
    expect(text).toContain('no safety device');
  });

  test('a template of one’s own comes out filled, everything else as it was', async () => {
    const template = folder.write('gate.conf', TEMPLATE);
    const { code, out: stdout } = await runCli(
      run,
      '--as',
      'template',
      '--template',
      template,
      '--setting',
      settingFile,
      '--name',
      'Lead spinner',
      '--rate',
      '208',
      '--out',
      out('filled'),
    );
    expect(code).toBe(0);
    expect(stdout).toBe(`${out('filled')}/gate.conf\n`);
    // 240 ms at 208 Hz are 49.92 samples.
    expect(textOf('filled', 'gate.conf')).toBe(
      '# lantern Lead spinner\n[swing gate]\nclose-above = 1.745\nstay-ticks  = 50\nplain       = {{kept}}\n',
    );
    expect(readFileSync(template, 'utf8')).toBe(TEMPLATE);
  });

  test('a template that cannot be filled is refused with its line, and nothing is written', async () => {
    const template = folder.write('wrong.conf', 'a\nb {{guard.speed}}\n');
    const { code, err: stderr } = await runCli(
      run,
      '--as',
      'template',
      '--template',
      template,
      '--out',
      out('none'),
    );
    expect(code).toBe(1);
    expect(stderr).toContain(
      'wrong.conf: line 2, column 3: {{guard.speed}}: there is no such value; there are guard.',
    );
    expect(readdirSync(folder.path('.'))).not.toContain('none');
  });

  test('a template is not written over', async () => {
    mkdirSync(out('here'));
    const template = folder.write('here/own.conf', TEMPLATE);
    const { code, err: stderr } = await runCli(
      run,
      '--as',
      'template',
      '--template',
      template,
      '--out',
      out('here'),
    );
    expect(code).toBe(2);
    expect(stderr).toContain('would be overwritten');
    expect(readFileSync(template, 'utf8')).toBe(TEMPLATE);
  });

  test.skipIf(!findCompiler())(
    'as a header and as C99, it compiles without a warning at any rate',
    async () => {
      for (const rate of ['50', '208', '1000']) {
        const prop = [
          '--setting',
          settingFile,
          '--rate',
          rate,
          '--mount',
          'tip=-z,side=+x',
          '--lever-arm',
          '0.3',
        ];
        for (const as of ['c99', 'header']) await runCli(run, '--as', as, ...prop, '--out', out('c'));
        const flags = ['-std=c99', '-Wall', '-Wextra', '-Werror', '-pedantic'];
        execFileSync(findCompiler()!, [...flags, '-o', 'example', 'example.c', 'prop.c', '-lm'], {
          cwd: out('c'),
        });
        // Where both name a constant, they give it the same value: else this would not compile.
        execFileSync(
          findCompiler()!,
          [...flags, '-fsyntax-only', '-include', 'prop_setting.h', 'example.c'],
          {
            cwd: out('c'),
          },
        );
      }
      expect(textOf('c', 'prop.h')).toContain('#define PROP_GUARD_HOLD_SAMPLES 240\n');
      expect(textOf('c', 'prop_setting.h')).toContain('#define PROP_GUARD_SPEED_DPS 100.0 ');
    },
  );

  test.skipIf(!findCompiler())('the example decides on lines of text', async () => {
    await runCli(run, '--as', 'c99', '--setting', settingFile, '--rate', '200', '--out', out('example'));
    execFileSync(findCompiler()!, ['-std=c99', '-o', 'example', 'example.c', 'prop.c', '-lm'], {
      cwd: out('example'),
    });
    const rows = Array.from({ length: 400 }, (_, i) => {
      const dps = i >= 200 && i < 300 ? 400 : 0;
      return `${5000 * i},0,${dps},0,0,0,1,${Number(i === 250 || i === 390)}`;
    });
    const answer = execFileSync(join(out('example'), 'example'), {
      input: `time_us,...\n${rows.join('\n')}\n`,
      encoding: 'utf8',
    });
    const lines = answer
      .trimEnd()
      .split('\n')
      .map((line) => line.split(','));
    expect(lines).toHaveLength(401);
    const column = (name: string) => lines[0]!.indexOf(name);
    const at = (i: number, name: string) => lines[i + 1]![column(name)];
    expect(at(250, 'press_refused')).toBe('1');
    expect(at(390, 'press_refused')).toBe('0');
    expect(lines.slice(1).filter((line) => line[column('fired')] === 'deflection')).toHaveLength(1);
  });

  test.each([
    [['--as', 'json'], '--out is missing'],
    [['--out', 'x'], '--as must be one of json, text, header, c99, sheet, template, schema, got nothing'],
    [['--as', 'yaml', '--out', 'x'], 'got "yaml"'],
    [['--as', 'template', '--out', 'x'], '--template is missing'],
    [['--as', 'text', '--template', 'y', '--out', 'x'], '--template goes with --as template only'],
    [
      ['--as', 'text', '--rate', 'fast', '--out', 'x'],
      '--rate must be a number from 10 to 10000 Hz, got "fast"',
    ],
    [['--as', 'text', '--name', '../x', '--out', 'x'], '--name wants up to 80 letters'],
    [['--as', 'text', '--mount', 'up', '--out', 'x'], '--mount wants'],
    [['--as', 'text', '--setting', 'nowhere.json', '--out', 'x'], 'nowhere.json'],
  ])('%j makes no sense', async (argv, words) => {
    const { code, err: stderr } = await runCli(run, ...argv);
    expect(code).toBe(2);
    expect(stderr).toContain(words);
  });
});
