"""The colours of photos against other libraries: `colors.py EXAMPLE FOLDER...`, the built example `photo_colors` and folders
of pictures.

coloraide converts the same colours to Oklab; scikit-learn's KMeans gathers the same weighted points from the same
starts, and its centres are those of the program."""

import json
import subprocess
import sys

import numpy
from coloraide import Color
from common import Tally
from sklearn.cluster import KMeans

# Matrices of Oklab are published to ten digits; a step of a channel is 0.0005 at least.
NEAR = 1e-5
# Centres after the same rounds from the same starts.
SAME = 1e-6


def main(example, folders):
    found = json.loads(subprocess.run([example, *folders], check=True, capture_output=True).stdout)
    tally, farthest = Tally("colours"), 0.0
    for one in found["colors"]:
        theirs = Color(one["color"]).convert("oklab").coords()
        apart = max(abs(here - there) for here, there in zip(one["oklab"], theirs))
        farthest = max(farthest, apart)
        tally.case(apart <= NEAR, f"{one['color']}: {one['oklab']} here, {theirs} there")
        tally.case(one["back"] == one["color"], f"{one['color']} comes back as {one['back']}")
    tally.need(len(found["colors"]), "colour")
    centers_apart = 0.0
    for one in found["gathered"]:
        starts = numpy.array(one["starts"])
        gatherer = KMeans(len(starts), init=starts, n_init=1, max_iter=300, tol=0, algorithm="lloyd")
        gatherer.fit(numpy.array(one["points"]), sample_weight=numpy.array(one["weights"]))
        apart = float(numpy.abs(gatherer.cluster_centers_ - numpy.array(one["centers"])).max())
        centers_apart = max(centers_apart, apart)
        tally.case(apart <= SAME, f"{one['folder']}: centres {apart:.1e} apart")
    tally.need(len(found["gathered"]), "folder")
    print(f"  Oklab at most {farthest:.1e} apart, centres at most {centers_apart:.1e}")
    return tally.report()


if __name__ == "__main__":
    sys.exit(0 if main(sys.argv[1], sys.argv[2:]) else 1)
