// The enumerations of orders and plans, with what each value means.
import { builder } from './builder.ts'

export const OrderStatus = builder.enumType('OrderStatus', {
  description: 'How far an order, or a line of it, has come.',
  values: {
    OPEN: { description: 'Wanted and not yet delivered; the planner plans it.' },
    DELIVERED: { description: 'Delivered; nothing more is planned for it.' },
    CANCELLED: { description: 'Withdrawn; nothing is planned for it.' },
    RESERVED: {
      description: 'Taken off the market for some minutes by a reservation; the planner plans it.',
    },
    LAPSED: { description: 'Its reservation was released or expired; nothing is planned for it.' },
  },
})

export const Accept = builder.enumType('Accept', {
  description: 'What is accepted with an order. What is promised is never moved for another order.',
  values: {
    ON_TIME_ONLY: {
      description: 'Every line is promised for its serve day, or nothing is written and the answer gives the reasons.',
    },
    LATER: {
      description:
        'Every line is promised for its serve day or else for the earliest later day; nothing is written where a line cannot be had at all.',
    },
    AS_DEMAND: {
      description:
        'A wish: nothing is promised, and the planner serves it if it can, late if it must. It gives way to lines that are promised.',
    },
  },
})

export const WriteOutcome = builder.enumType('WriteOutcome', {
  description: 'What a write did.',
  values: {
    CREATED: { description: 'The thing is new.' },
    UPDATED: { description: 'The thing was there, and has changed.' },
    UNCHANGED: { description: 'The thing was just so already: nothing was written.' },
  },
})

export const ReserveAccept = builder.enumType('ReserveAccept', {
  description: 'What is accepted with a reservation.',
  values: {
    ON_TIME_ONLY: { description: 'Every line is kept for its serve day, or nothing is.' },
    LATER: { description: 'Every line is kept for its serve day or else for the earliest later day.' },
  },
})

export const ReservationStatus = builder.enumType('ReservationStatus', {
  description: 'How a reservation stands.',
  values: {
    ACTIVE: { description: 'It holds its beer until it runs out.' },
    CONFIRMED: { description: 'It became an order.' },
    RELEASED: { description: 'It was given back.' },
    EXPIRED: { description: 'Its time ran out; its beer is free for others.' },
  },
})

export const PlanStatus = builder.enumType('PlanStatus', {
  description: 'Where a plan stands in its life.',
  values: {
    SOLVING: { description: 'The planner is working on it.' },
    DRAFT: { description: 'Ready beside the plan in force, to be looked at and adopted.' },
    IN_FORCE: { description: 'The one plan that promises and floor work follow; at most one.' },
    PAST: { description: 'Was in force until another plan was adopted.' },
    FAILED: { description: 'The planner stopped without a plan; `failure` says why.' },
    DISCARDED: { description: 'A draft that was discarded; it can no longer be adopted.' },
  },
})

export const DecisionKind = builder.enumType('DecisionKind', {
  description: 'A decision of a plan that can be moved or fixed (F1).',
  values: {
    BREW: { description: 'A planned brew.' },
    TRANSFER: { description: 'A planned transfer.' },
    FILL_RUN: { description: 'A planned fill run.' },
  },
})
