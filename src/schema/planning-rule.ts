// The numbers of the planning rules as reasons name them.
import { type ReasonRule, RULE_TITLES } from '../planner/documents/index.ts'
import { builder } from './builder.ts'

const TITLES: Readonly<Record<ReasonRule, string>> = {
  ...RULE_TITLES,
  COST: 'the rules would allow it, and it would cost more',
}

export const PlanningRule = builder.enumType('PlanningRule', {
  description: 'A planning rule by its number, or the cost. A number never changes its meaning.',
  values: Object.fromEntries(
    Object.entries(TITLES).map(([rule, title]) => [
      rule,
      { description: `${title[0]?.toUpperCase()}${title.slice(1)}.` },
    ]),
  ),
})
