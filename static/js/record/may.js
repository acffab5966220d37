// What a person may do with a boil, by their role on its sheet; shop/record/may.py is the same.

/** Whether this person's role may do this; a sheet without roles lets everybody. */
export function may({ roles, people }, person, act) {
  if (!roles) return true;
  const role = people.find(({ id }) => id === person)?.role;
  return roles.some(({ name, may: acts }) => name === role && acts.includes(act));
}
