// Reckons a figure again from what is printed of it alone: its formula, with the printed inputs and constants.
import type { Figure } from '../../src/sheets/figure.ts'

const FUNCTIONS: Readonly<Record<string, (...values: number[]) => number>> = {
  max: Math.max,
  min: Math.min,
  exp: Math.exp,
  round: Math.round,
  floor: Math.floor,
}

/** The value of the formula. Throws where it names something that is neither an input nor a constant nor a function. */
export function reckon({ formula, inputs, constants }: Figure): number {
  const values = new Map([...inputs, ...constants].map(({ name, value }) => [name, value]))
  const parser = new Parser(tokensOf(formula, [...values.keys(), ...Object.keys(FUNCTIONS)]), values)
  return parser.whole()
}

/** The value of a figure that must have one. */
export function known({ value, missing, warnings }: Figure): number {
  if (value === undefined) throw new Error(`no value: ${JSON.stringify({ missing, warnings })}`)
  return value
}

/** Every figure that a figure is made of, itself included. */
export function allFigures(figure: Figure): Figure[] {
  return [figure, ...figure.inputs.flatMap(({ from }) => (from ? allFigures(from) : []))]
}

function tokensOf(formula: string, names: readonly string[]): string[] {
  const longestFirst = [...names].sort((a, b) => b.length - a.length)
  const tokens: string[] = []
  for (let rest = formula.trim(); rest !== ''; rest = rest.trimStart()) {
    const token =
      longestFirst.find((name) => rest.startsWith(name)) ?? /^\d+(\.\d+)?/.exec(rest)?.[0] ?? rest.slice(0, 1)
    tokens.push(token)
    rest = rest.slice(token.length)
  }
  return tokens
}

class Parser {
  #at = 0

  constructor(
    readonly tokens: readonly string[],
    readonly values: ReadonlyMap<string, number>,
  ) {}

  whole(): number {
    const value = this.#sum()
    if (this.#at < this.tokens.length) throw new Error(`cannot read ${this.tokens.slice(this.#at).join(' ')}`)
    return value
  }

  #sum(): number {
    let value = this.#product()
    for (let sign = this.#take('+', '−'); sign; sign = this.#take('+', '−'))
      value += sign === '+' ? this.#product() : -this.#product()
    return value
  }

  #product(): number {
    let value = this.#factor()
    for (let sign = this.#take('×', '/'); sign; sign = this.#take('×', '/'))
      value = sign === '×' ? value * this.#factor() : value / this.#factor()
    return value
  }

  #factor(): number {
    if (this.#take('−')) return -this.#factor()
    if (this.#take('(')) return this.#closed()
    const token = this.tokens[this.#at++] ?? ''
    const value = this.values.get(token)
    if (value !== undefined) return value
    const apply = FUNCTIONS[token]
    if (!apply) return numberOf(token)
    if (!this.#take('(')) throw new Error(`${token} stands without its brackets`)
    const operands = [this.#sum()]
    while (this.#take(',')) operands.push(this.#sum())
    this.#need(')')
    return apply(...operands)
  }

  #closed(): number {
    const value = this.#sum()
    this.#need(')')
    return value
  }

  #take(...wanted: string[]): string | undefined {
    const token = this.tokens[this.#at]
    if (token === undefined || !wanted.includes(token)) return undefined
    this.#at += 1
    return token
  }

  #need(token: string): void {
    if (!this.#take(token)) throw new Error(`expected ${token} before ${this.tokens.slice(this.#at).join(' ')}`)
  }
}

function numberOf(token: string): number {
  if (!/^\d/.test(token)) throw new Error(`${token} is neither an input nor a constant`)
  return Number(token)
}
