/** What is asked where the rows stand in another order than that of their clock. @param clock  the name of its column */
export function disorderText(clock: string): string {
  return `the rows are not in the order of column "${clock}", as if the table had been sorted by something else: sort the file by that column and add it again, or, if it is neither time nor a count of rows, say that it is to be ignored`;
}
