/** Finds an installed Chromium or Chrome. Run by itself, prints its path, or fails. */
import { accessSync, constants, realpathSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome'];
const MAC_APPS = ['Chromium', 'Google Chrome'];
const WINDOWS_FILES = ['Google\\Chrome\\Application\\chrome.exe', 'Chromium\\Application\\chrome.exe'];

/** Path of the program, or null. CHROME_PATH, where set, is the only one looked at. */
export function findBrowser(env = process.env, platform = process.platform) {
  if (env.CHROME_PATH) return isProgram(env.CHROME_PATH) ? env.CHROME_PATH : null;
  return candidates(env, platform).find(isProgram) ?? null;
}

function candidates(env, platform) {
  if (platform === 'darwin') {
    return MAC_APPS.flatMap((app) =>
      ['', env.HOME ?? ''].map((home) => `${home}/Applications/${app}.app/Contents/MacOS/${app}`),
    );
  }
  if (platform === 'win32') {
    const roots = [env.PROGRAMFILES, env['PROGRAMFILES(X86)'], env.LOCALAPPDATA].filter(Boolean);
    return roots.flatMap((root) => WINDOWS_FILES.map((file) => `${root}\\${file}`));
  }
  const folders = (env.PATH ?? '').split(delimiter).filter(Boolean);
  return NAMES.flatMap((name) => folders.map((folder) => join(folder, name)));
}

function isProgram(path) {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

const isMain = process.argv[1] && realpathSync(process.argv[1]) === fileURLToPath(import.meta.url);
if (isMain) {
  const path = findBrowser();
  if (path) console.log(path);
  else process.exitCode = 1;
}
