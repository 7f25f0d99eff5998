// How figures were reached, short enough for a page: each formula once, then each number that does not stand in the table once.
import type { Figure } from '../sheets/figure.ts'

/** Lines such as `Finings: round(finings rate × litres …). finings rate 128 mL …`; figures that stand in one another are named too. */
export function reachedLines(figures: readonly (readonly [name: string, figure: Figure])[]): string[] {
  const formulas = new Map<string, string>()
  const numbers = new Map<string, Set<string>>()
  for (const [name, figure] of figures) gather(name, figure, formulas, numbers)
  if (formulas.size === 0) return []
  const known = [...numbers].map(([name, values]) => `${name} ${[...values].join(' or ')}`)
  return [`${[...formulas.values()].join('; ')}.`, `${known.join('; ')}.`]
}

function gather(name: string, figure: Figure, formulas: Map<string, string>, numbers: Map<string, Set<string>>): void {
  const { formula, constants, inputs } = figure
  formulas.set(`${name} ${formula}`, `${name} = ${formula}`)
  for (const constant of constants) {
    const { value, unit, source } = constant
    add(numbers, constant.name, `${`${value} ${unit}`.trim()} (${source})`)
  }
  for (const input of inputs) {
    if (input.from) gather(input.name, input.from, formulas, numbers)
    // Litres stand on the label.
    else if (input.name !== 'litres') add(numbers, input.name, `${Number(input.value.toFixed(4))} ${input.unit}`.trim())
  }
}

function add(numbers: Map<string, Set<string>>, name: string, value: string): void {
  numbers.set(name, (numbers.get(name) ?? new Set()).add(value))
}
