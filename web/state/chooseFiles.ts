/** Opens the system's file chooser for one file; `use` is not called where none is chosen. */
export function chooseFile(accept: string, use: (file: File) => void): void {
  choose(accept, false, ([file]) => file && use(file));
}

/** The same for one or more. */
export function chooseFiles(accept: string, use: (files: readonly File[]) => void): void {
  choose(accept, true, use);
}

function choose(accept: string, multiple: boolean, use: (files: readonly File[]) => void): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = accept;
  input.multiple = multiple;
  input.onchange = () => use([...(input.files ?? [])]);
  input.click();
}
