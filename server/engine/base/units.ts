/** Standard gravity, exact: 3rd CGPM (1901); SI Brochure. */
export const STANDARD_GRAVITY_MPS2 = 9.80665;
export const RAD_PER_DEG = Math.PI / 180;
export const DEG_PER_RAD = 180 / Math.PI;
