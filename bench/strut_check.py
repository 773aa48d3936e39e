#!/usr/bin/env python3
"""Regenerates the check of the spatial strut by an independent multibody solution.

The strut is built in MuJoCo as a tree of joints (hinge for the control arm, ball and slide for the
strut, ball for the tie rod) closed by a weld and a connect constraint: no equation of the crate
occurs in it. Positions come from Gauss-Newton on MuJoCo's own constraint residual and Jacobian plus
one row for the wheel's height. Compared are wheel centre and rotation at the 17 recorded heights.

    python3 -m venv /tmp/peers && /tmp/peers/bin/pip install numpy mujoco
    /tmp/peers/bin/python bench/strut_check.py            # compares with the recorded curve
    /tmp/peers/bin/python bench/strut_check.py --print    # prints travel, x, y, z, R by rows

Exit code 1 where a wheel centre differs by more than 1e-9 mm or a rotation entry by more than 1e-12.
"""
import pathlib
import sys

import mujoco
import numpy as np

DATA = pathlib.Path(__file__).parent.parent / "crates/axlestand-geometry/tests/data/strut.csv"
POINTS = {  # invented, mm; the same as in the crate's tests
    "centre": (0, 735, 290), "ball": (5, 690, 190), "front": (10, 345, 212), "rear": (-300, 370, 222),
    "top": (-25, 565, 800), "seat": (-6, 628, 420), "inner": (-140, 330, 238), "outer": (-140, 665, 222),
}


def model_xml(idle_spin=True):
    """The strut in MuJoCo's format, in metres. Without `idle_spin` the tie rod cannot turn about
    itself, so that equations and unknowns are equally many."""
    p = {k: np.array(v, float) / 1000 for k, v in POINTS.items()}
    s = lambda a: "%.17g %.17g %.17g" % tuple(a)
    axis = (p["top"] - p["seat"]) / np.linalg.norm(p["top"] - p["seat"])
    rod = ('<joint name="rod" type="ball"/>' if idle_spin else
           '<joint name="rod1" type="hinge" axis="0 0 1"/><joint name="rod2" type="hinge" axis="1 0 0"/>')
    return f"""
<mujoco><option gravity="0 0 0" jacobian="dense"><flag contact="disable"/></option>
<default><geom type="sphere" size="0.01" mass="1"/></default>
<worldbody>
 <body name="arm" pos="{s(p['front'])}">
  <joint name="arm" type="hinge" axis="{s(p['rear'] - p['front'])}"/><geom/>
  <body name="knuckle" pos="{s(p['ball'] - p['front'])}"><joint name="ball" type="ball"/><geom/>
   <site name="centre" pos="{s(p['centre'] - p['ball'])}"/></body></body>
 <body name="rod" pos="{s(p['inner'])}">{rod}<geom/></body>
 <body name="top" pos="{s(p['top'])}"><joint name="mount" type="ball"/><geom/>
  <body name="tube"><joint name="slide" type="slide" axis="{s(axis)}"/><geom/></body></body>
</worldbody>
<equality>
 <weld body1="tube" body2="knuckle"/>
 <connect body1="rod" body2="knuckle" anchor="{s(p['outer'] - p['inner'])}"/>
</equality></mujoco>"""


class Strut:
    """The model with a Gauss-Newton on its closure."""

    def __init__(self):
        self.model = mujoco.MjModel.from_xml_string(model_xml())
        self.data = mujoco.MjData(self.model)
        self.centre = self.model.site("centre").id
        self.knuckle = self.model.body("knuckle").id

    def reset(self):
        mujoco.mj_resetData(self.model, self.data)

    def place(self, height):
        """Moves the wheel centre to a height (m) from where it is."""
        m, d = self.model, self.data
        row = np.zeros((3, m.nv))
        for _ in range(40):
            mujoco.mj_kinematics(m, d)
            mujoco.mj_comPos(m, d)
            mujoco.mj_makeConstraint(m, d)
            mujoco.mj_jacSite(m, d, row, None, self.centre)
            left = np.append(d.efc_pos, d.site_xpos[self.centre][2] - height)
            if np.abs(left).max() < 1e-13:
                break
            jacobian = np.vstack([d.efc_J.reshape(d.nefc, m.nv), row[2:3]])
            step = np.linalg.lstsq(jacobian, -left, rcond=None)[0]
            q = d.qpos.copy()
            mujoco.mj_integratePos(m, q, step, 1.0)
            d.qpos[:] = q
        else:
            raise RuntimeError(f"not closed: {np.abs(left).max():g} m")
        return d.site_xpos[self.centre] * 1000, d.xmat[self.knuckle].reshape(3, 3).copy()


def solutions():
    """Wheel centre (mm) and rotation at −80 to +80 mm in steps of 10."""
    strut, out = Strut(), {}
    for sign in (1, -1):
        strut.reset()
        for travel in range(0, 81, 10):
            out[sign * travel] = strut.place((POINTS["centre"][2] + sign * travel) / 1000)
    return out


def main():
    found = solutions()
    if "--print" in sys.argv[1:]:
        for travel in sorted(found):
            place, turn = found[travel]
            print(",".join(repr(float(x)) for x in (travel, *place, *turn.ravel())))
        return 0
    rows = [[float(x) for x in line.split(",")] for line in DATA.read_text().splitlines() if line[0] != "#"]
    worst = [0.0, 0.0]
    for row in rows:
        place, turn = found[int(row[0])]
        worst[0] = max(worst[0], np.abs(place - row[-12:-9]).max())
        worst[1] = max(worst[1], np.abs(turn.ravel() - row[-9:]).max())
    print(f"MuJoCo {mujoco.__version__}: {len(rows)} heights, worst difference {worst[0]:.1e} mm, {worst[1]:.1e} in rotation")
    return int(worst[0] > 1e-9 or worst[1] > 1e-12)


if __name__ == "__main__":
    sys.exit(main())
