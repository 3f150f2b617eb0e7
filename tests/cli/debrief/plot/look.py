import csv
import sys
import xml.etree.ElementTree as tree

root = tree.parse(sys.argv[1]).getroot()
words = " ".join(root.itertext())
for word in ("Speed, km/h", "Climb, m/s", "Local time", "Wind, km/h"):
    print(word, "is said" if word in words else "IS MISSING")
rows = list(csv.DictReader(open(sys.argv[2])))
print("every row has a time:", all(r["time"].endswith("Z") for r in rows))
print("airborne is 0 or 1:", {r["airborne"] for r in rows} <= {"0", "1"})
print("wind only in the air:", all(r["airborne"] == "1" for r in rows if r["wind_m_s"]))
print("some rows have a wind:", any(r["wind_m_s"] for r in rows))
print("directions below 360:", all(0 <= float(r[c]) < 360 for r in rows for c in ("track_deg", "wind_from_deg") if r[c]))
