"""Dense packings of equal discs in a circle, by tests/benchmarks/packing_search.py.

Middles in the unit circle as big-endian whole numbers that stand for -1 to 1, in base 85: x
then y, one packing after the other; 3 bytes a number in `CIRCLES_FINE`, else 2.
"""

from __future__ import annotations

CIRCLES_LARGE_SIZES: tuple[int, ...] = (
    108,
    117,
    127,
)
CIRCLES_LARGE = (
    "%CoC#%<bk)cGNeveadGVQ$974|B`i*Ibsz)#m<xXuX0|A2k%p)(C)&DYYcV+jJxRxlnQV6g^2&)T3&}Ut1xy"
    "PWDZ84H$msOq-6z3K$k?A*+*#<#)ViP@N#1SW&b9v=-)P-Hb`1F8wZ$>eJdcIg?yK7V$ITVshBc`xyrm?(|>"
    "?cJm)O#R)PlUPq-c76*0z&0>qkjvyP=elWi$={`rt3-HK6z`M#%vz@01VOJnq}GE|_~cWA23N9>k*VEgJ)0m"
    "W*_PhP}u#bp$7rbo@<kd|0PFcEQAf8qcDcx1>FO*P!k(X>3UkMt43c9P%qQ4Ur8!b5McqNTPr5==e~W1^i%j"
    "UzyjWcIof8K!9Jok9GYAKg*O7wCY^q;=)P>so?oy=>GBBsAGG?FqvQ-lNtn-KmxjfZ2cUCVV7;XMtW*y01e`"
    "*e)Z<A=0uj^t4NFiq^QzL+XCrxQ6oAImgb;E>np*u3#Guj*ZbM;*PC>mxG6?00)ArQ828JdR9+ooGhOwZ5a;"
    "RJDIlZ3FEO;qnt^%ZJhqADl9xJRG4k8uBnaA&DyG-SFmDEX6h7&gO7O9as1ND0BLo}z;JoI70_*TJuRWf1bA"
    "L~L6VC}duATZe=3hqn`hSk=?Tdtnk!m*^kua^o{mHOiHhY|h_FkjoQDHACuXTuF^f2ma|!9NcV;}C|LBC80a"
    "lHk?qokVN6FqHj1IKh76h7R<Qk<QZQ_7KEOj3Ry`2xvl-P&gFfV*rPIa)<9kS8-dd8*BuIXv+54}Qy(4rie%"
    "w{%sqs=X>>|uDD#mP)*=5u0qrXZH=X?>Q#gDqj_#QD-zE6bADhV%;aON8{k>${JGr<B8!uh>%va&iE;u{+)S"
    "XhJJ!yU!-4;Sns6Q_ct9Tm4JRw`ryMVhZ^mzsr!NZGUN48XZ>gG-J-h)tHHuMQBIjc453tc?kc`S3iT;$gk;"
    "J#W`bAMfP;dl2IPoG92ZSN)g9XhpEe2kaM10QrenU{0E<*R2DW!Wf-kLy+XVqjT1F0KNk_L_$^cMam`ZJ{u^"
    "o(ILNq0Ua#LK+E3cGFT+o2nLKe|8fk;*w7c}78DYD3s)c}VK^tCWV6?-&p6BhPkMREhp}VbW+^S8!2mh>ywK"
    "6=Jr{xzP9Dy%+)3d<GLDML2D|Th<);@Bq()T?9m-In;0Sb^sti)q#)LpHjT$o(MVh@CC*f5MbY48E+SQ9m8Y"
    "L3`eZ0ekhhtm{D4c58h1*oN<Obhh-;8!cUYJmPOj*ux5$ZDHda$R1gw2q{5?L|FTLPj(5HerR1K=crriX4=Q"
    "O){#|KM2)#G|M8v;LOv%(3>2RgF3<;6G}X8SE84mz=5{BJ7P$$VoMmaZR|CSf3pAp&iuz1C)eD}{u62DfMwU"
    "m{BfQ1zJ?G`mK6RJhIVH*=LVuhiAa3mRM7{4jgqPyQ7=j(y++gIstQfKnxb!-R;F>vUz+Pa&lli|zYp(X)74"
    "<rK+kepVtcQ?9#^Z6s@XPyu^5ivzo}SpEA*Jboppso>7-&T!h3EU?J9S>qHM6DcUXy8yzfH9m*`pTua<cf*I"
    "RaFm3aZsZDYc$PH!R1OgM!7RI%7lp7xs%gT+yEcv7z~nD)d}_XJSoLP5Q|s-6c<8CcA8M!{WHAe4j}-{nr8E"
    "{Vq^G%c+ECwep!u_hswojw?pSBk=?g6KP*aQSp}!~BEiuFS)T03UjB7AKcYnI+mS0`6qS?f#9B31Ls?!#ge6"
    "X&g%1LCcsg;@G|Z^@*~s8ogaAc2^-|6iRXmfJy)Vt1|d}IOytdtv}+tB*RI;F!fvED*|xmb#v=Ri%jbi"
)
