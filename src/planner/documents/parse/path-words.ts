// Where in an input something stands, in words that people read; programs read the path itself.

/**
 * A path such as `changeLines[1].quantity` as `quantity of change line 2`: the innermost first, entries of lists counted
 * from 1 as people do. '' for the input itself. A path of XPath stays as it is.
 */
export function pathInWords(path: string): string {
  if (/^\w+\/\w+:/.test(path)) return path
  return path
    .replace(/^input\./, '')
    .split('.')
    .filter((step) => step !== '')
    .map((step) =>
      step.replace(/^([^[]*)((?:\[[^\]]*\])*)$/, (_, name: string, indices: string) => {
        const spaced = name.replace(/(?<=[a-z])[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`)
        const entries = [...indices.matchAll(/\[([^\]]*)\]/g)].map(([, index = '']) =>
          /^\d+$/.test(index) ? ` ${Number(index) + 1}` : ` ${index}`,
        )
        return entries.length > 0 ? `${spaced.replace(/s$/, '')}${entries.join('')}` : spaced
      }),
    )
    .reverse()
    .join(' of ')
}
