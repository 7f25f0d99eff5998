// The page of the rules (src/planner/README.md) against the code: rules, documents, default costs.
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import type { ZodType } from 'zod'
import { z } from 'zod'
import { CHECKS } from '../../src/planner/checker/check-plan.ts'
import { DEFAULT_COSTS, planShape, problemShape } from '../../src/planner/documents/index.ts'
import { RULE_NUMBERS } from '../../src/planner/documents/rule-numbers.ts'
import { BREAKABLE } from '../../src/planner/facts/violation.ts'

const page = readFileSync(new URL('../../src/planner/README.md', import.meta.url), 'utf8')

describe('the rules', () => {
  const onPage = [...page.matchAll(/^- \*\*([A-Z]\d+)\*\* /gm)].map(([, rule]) => rule)

  it('stand on the page once each, and every one has a number in the code', () => {
    expect(new Set(onPage).size).toBe(onPage.length)
    expect([...onPage].sort()).toEqual([...RULE_NUMBERS].sort())
  })

  it('have a check each, in the registry', () => {
    expect(CHECKS.flatMap(({ rules }) => [...rules]).sort()).toEqual([...BREAKABLE].sort())
  })

  it('are the only numbers that the page mentions', () => {
    const mentioned = [...page.matchAll(/\b([TBVLCSDAFE]\d{1,2})\b/g)].map(([, rule]) => rule!)
    expect(mentioned.filter((rule) => !onPage.includes(rule))).toEqual([])
  })
})

describe('the documents', () => {
  const { shape } = problemShape
  const interfaces: Record<string, ZodType> = {
    Problem: problemShape,
    Plan: planShape,
    Site: shape.sites.element,
    Vessel: shape.vessels.element,
    Beer: shape.beers.element,
    Pack: shape.beers.element.shape.packs.element,
    ContainerType: shape.containerTypes.element,
    Filler: shape.fillers.element,
    Fleet: shape.fleets.element,
    Store: shape.stores.element,
    Route: shape.routes.element,
    Account: shape.accounts.element,
    Batch: shape.batches.element,
    StockLot: shape.stock.element,
    OrderLine: shape.orderLines.element,
    Reason: planShape.shape.unserved.element.shape.reasons.element,
  }

  it.each(Object.entries(interfaces))(
    'shows %s with just the fields that the code reads, and which may be left out',
    (name, zod) => {
      expect(fieldsOnPage(name)).toEqual(fieldsOf(zod))
    },
  )

  it('shows no other document', () => {
    const names = [...page.matchAll(/^interface (\w+)/gm)].map(([, name]) => name!)
    expect(names.sort()).toEqual(Object.keys(interfaces).sort())
  })
})

it('shows every cost term with its default', () => {
  const rows = [...page.matchAll(/^\| `(\w+)` \|.*\| ([\d.]+) \|$/gm)].map(([, term, value]) => [term, Number(value)])
  expect(Object.fromEntries(rows)).toEqual(DEFAULT_COSTS)
})

/** The fields of an interface on the page, in alphabetical order, with `?` where one is optional. */
function fieldsOnPage(name: string): string[] {
  const start = page.indexOf(`interface ${name} {`)
  const flat = topLevel(page.slice(start).replace(/\/\*.*?\*\/|\/\/.*$/gm, ''))
  return flat
    .split(/[;\n]/)
    .map((part) => /^\s*(\w+\??)/.exec(part)?.[1])
    .filter((field) => field !== undefined)
    .sort()
}

/** What stands between the first brace and its match, without what nested braces, brackets and parentheses hold. */
function topLevel(text: string): string {
  let depth = 0
  let found = ''
  for (const character of text.slice(text.indexOf('{'))) {
    if ('}])'.includes(character)) depth -= 1
    if (depth === 0 && character === '}') return found
    if (depth === 1) found += character
    if ('{[('.includes(character)) depth += 1
  }
  return found
}

function fieldsOf(zod: ZodType): string[] {
  const { properties, required } = z
    .object({ properties: z.record(z.string(), z.unknown()), required: z.array(z.string()).default([]) })
    .parse(z.toJSONSchema(zod, { io: 'input', unrepresentable: 'any' }))
  return Object.keys(properties)
    .map((field) => (required.includes(field) ? field : `${field}?`))
    .sort()
}
